"""The text of a machine file from a harness, with every finding."""

from collections.abc import Sequence

from hil.electrical.harness.judging import Finding, judge
from hil.electrical.harness.reading import Item
from hil.electrical.harness.windings import bus
from hil.machine.from_harness.lines import Machine, make
from hil.machine.from_tables.calls import Call, printed

ABOUT = '"""{title}: each device once, from its harness. `inlane machine` makes the tables of it."""'


def text(items: Sequence[Item], title: str) -> tuple[str, list[Finding]]:
    """The text of host/machine.py, "" while something is refused; and every finding about the harness."""
    written, findings, _made = machine(items, title)
    return written, findings


def machine(items: Sequence[Item], title: str) -> tuple[str, list[Finding], Machine | None]:
    """As `text`, with the lines and the places of everything; None while something is refused.

    What speaks against energising a coil alone does not keep the file from being written.
    """
    findings = judge(list(items))
    if not any(item.kind == "switch" for item in items):
        where = items[0].where if items else "the harness"
        findings.append(Finding("no line is a switch; a game needs those that its ball closes", where, True))
    if any(finding.refused and not finding.power for finding in findings):
        return "", findings, None
    made = make(items)
    findings += made.notes
    if any(finding.refused for finding in made.notes):
        return "", findings, None
    return _text(made, items, title), findings, made


def _text(made: Machine, items: Sequence[Item], title: str) -> str:
    head = _supply(items)
    for (ohms, mh, gauge, fuse), name in made.windings.items():
        winding = Call("Winding", [_short(ohms)], {"mh": _short(mh), "awg": gauge, "fuse": fuse})
        head.append(f"{name} = {winding.text()}")
    lines = [line for call in made.lines for line in printed(call)]
    return "\n".join([ABOUT.format(title=title), "", *head, "", "MACHINE = (", *lines, ")", ""])


def _supply(items: Sequence[Item]) -> list[str]:
    """The line of the coil supply, as the coils of the harness are judged; none without volts."""
    feed = bus(items)
    if feed is None:
        return []
    unsmoothed = "" if feed.smoothed else ", smoothed=False"
    return [f"SUPPLY = Supply({feed.volts:g}, ohms={feed.source}{unsmoothed})  # its ohms are to be measured"]


def _short(number: float) -> object:
    return int(number) if number == int(number) else number
