"""The text of a machine file from a harness, with every finding."""

from collections.abc import Sequence

from hil.electrical.harness.judging import Finding, judge
from hil.electrical.harness.reading import Item
from hil.machine.from_harness.lines import Machine, make
from hil.machine.from_tables.calls import Call, printed

ABOUT = '"""{title}: each device once, from its harness. `inlane machine` makes the tables of it."""'
COILS = ("coil", "flipper")
OHMS = 0.3  # of supply and wires, until it is measured


def text(items: Sequence[Item], title: str) -> tuple[str, list[Finding]]:
    """The text of host/machine.py, "" while something is refused; and every finding about the harness."""
    findings = judge(list(items))
    if not any(item.kind == "switch" for item in items):
        where = items[0].where if items else "the harness"
        findings.append(Finding("no line is a switch; a game needs those that its ball closes", where, True))
    if any(finding.refused for finding in findings):
        return "", findings
    made = make(items)
    return _text(made, items, title), [*findings, *_other_supplies(items), *made.notes]


def _text(made: Machine, items: Sequence[Item], title: str) -> str:
    head = _supply([item for item in items if item.kind in COILS and item.volts])
    for (ohms, mh, gauge, fuse), name in made.windings.items():
        winding = Call("Winding", [_short(ohms)], {"mh": _short(mh), "awg": gauge, "fuse": fuse})
        head.append(f"{name} = {winding.text()}")
    lines = [line for call in made.lines for line in printed(call)]
    return "\n".join([ABOUT.format(title=title), "", *head, "", "MACHINE = (", *lines, ")", ""])


def _supply(coils: Sequence[Item]) -> list[str]:
    """The line of the coil supply: the highest volts; one that any coil calls unsmoothed is unsmoothed."""
    if not coils:
        return []
    unsmoothed = ", smoothed=False" if any(item.current == "unsmoothed" for item in coils) else ""
    volts = max(item.volts for item in coils)
    return [f"SUPPLY = Supply({volts:g}, ohms={OHMS}{unsmoothed})  # measure the ohms of supply and wires"]


def _other_supplies(items: Sequence[Item]) -> list[Finding]:
    """A note for each coil whose volts are not those of the machine file's one supply."""
    coils = [item for item in items if item.kind in COILS and item.volts]
    volts = max((item.volts for item in coils), default=0.0)
    return [
        Finding(
            f"{item.kind} '{item.name}' runs from {item.volts:g} V; the machine file has one supply, of"
            f" {volts:g} V, which overheats it: fit one wound for that",
            item.where,
            False,
        )
        for item in coils
        if item.volts != volts
    ]


def _short(number: float) -> object:
    return int(number) if number == int(number) else number
