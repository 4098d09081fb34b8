"""The text of a machine file from a harness, with every finding."""

from collections.abc import Sequence

from hil.electrical.harness.judging import Finding, judge
from hil.electrical.harness.reading import Item
from hil.machine.from_harness.lines import Machine, make
from hil.machine.from_tables.calls import Call, printed

ABOUT = '"""{title}: each device once, from its harness. `inlane machine` makes the tables of it."""'
OHMS = 0.3  # of supply and wires, until it is measured


def text(items: Sequence[Item], title: str) -> tuple[str, list[Finding]]:
    """The text of host/machine.py, "" while something is refused; and every finding about the harness."""
    findings = judge(list(items))
    if any(finding.refused for finding in findings):
        return "", findings
    made = make(items)
    return _text(made, items, title), [*findings, *made.notes]


def _text(made: Machine, items: Sequence[Item], title: str) -> str:
    volts = max((item.volts for item in items if item.kind in ("coil", "flipper")), default=0.0)
    head = (
        [f"SUPPLY = Supply({volts:g}, ohms={OHMS})  # measure the ohms of supply and wires"] if volts else []
    )
    for (ohms, mh, gauge, fuse), name in made.windings.items():
        winding = Call("Winding", [_short(ohms)], {"mh": _short(mh), "awg": gauge, "fuse": fuse})
        head.append(f"{name} = {winding.text()}")
    lines = [line for call in made.lines for line in printed(call)]
    return "\n".join([ABOUT.format(title=title), "", *head, "", "MACHINE = (", *lines, ")", ""])


def _short(number: float) -> object:
    return int(number) if number == int(number) else number
