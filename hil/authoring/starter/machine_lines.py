"""The machine file of a new game: a line a device, wired one after another."""

from dataclasses import dataclass, field

from hil.authoring.starter.wanted import MOST, Wanted

PER_ROW = 8
HEAD = '''"""{title}: each device once. `inlane machine` makes wiring.py and host/tables.py of it."""

SUPPLY = Supply(36, ohms=0.3)  # measure yours: volts, ohms of supply and wires
'''
WINDINGS = (
    ("SMALL", 'Winding(6, mh=30, awg=25, insulation="F", fuse="1 slow")'),
    ("LIFT", 'Winding(6, mh=30, awg=24, insulation="F", fuse="1.25 slow")'),
    ("KICK", 'Winding(4, mh=20, awg=24, insulation="F", fuse="1.25 slow")'),
    ("THROW", 'Winding(3, mh=15, awg=22, insulation="F", fuse="1.6 slow")'),
    ("COUNTS", 'Load(225, watts=8, fuse="0.25 slow")'),
    ("TURNS", 'Load(120, watts=20, fuse="0.5 slow")'),
    ("HOLD", 'Winding(225, mh=1100, awg=33, insulation="F", fuse="0.25 slow")'),
)


@dataclass
class Lines:
    """Lines as they are written; switches and drives are given out one after another."""

    lines: list[str] = field(default_factory=list)
    switches: int = 0
    drives: int = 0

    def add(self, text: str) -> None:
        """One line of MACHINE."""
        self.lines.append(f"    {text},")

    def at(self, count: int = 1) -> str:
        """The place of the first of the next `count` switches of the matrix."""
        row, column = divmod(self.switches, PER_ROW)
        self.switches += count
        return f"({row + 1}, {column + 1})"

    def drive(self, count: int = 1) -> int:
        """The first of the next `count` drives."""
        first = self.drives + 1
        self.drives += count
        return first


def text(title: str, wanted: Wanted) -> str:
    """The text of host/machine.py."""
    lines = Lines()
    _balls(lines, wanted)
    _top(lines, wanted)
    _targets(lines, wanted)
    _sides(lines, wanted)
    _holes(lines, wanted)
    _cabinet(lines, wanted)
    body = "\n".join(lines.lines)
    windings = "".join(f"{name} = {winding}\n" for name, winding in WINDINGS if f", {name})" in body)
    return f"{HEAD.format(title=title)}{windings}\nMACHINE = (\n{body}\n)\n"


def _balls(lines: Lines, wanted: Wanted) -> None:
    count = wanted.in_machine
    eject = f"coil=Coil({lines.drive()}, SMALL)"
    if count == 1:
        lines.add(f"outhole(at={lines.at()}, {eject})")
    else:
        lines.add(f"trough({count}, at={lines.at(count)}, jam={lines.at()}, {eject})")
    over = ', over="top"' if wanted.lanes else ""
    lines.add(f"shooter(at={lines.at()}, coil=Coil({lines.drive()}, THROW){over})")


def _top(lines: Lines, wanted: Wanted) -> None:
    if wanted.lanes:
        lines.add(f'lanes("top", {wanted.lanes}, at={lines.at(wanted.lanes)})')
    if wanted.bumpers:
        count = wanted.bumpers
        lines.add(f'bumpers("bumper", {count}, at={lines.at(count)}, coil=Coil({lines.drive(count)}, KICK))')
    if wanted.spinner:
        lines.add(f'spinner("spinner", at={lines.at()})')
    if wanted.orbits:
        lines.add(f'orbit("orbit", ("left", "right"), at={lines.at(2)})')
    if wanted.ramp:
        lines.add(f'ramp("ramp", at={lines.at(2)}, to="inlane.left")')


def _targets(lines: Lines, wanted: Wanted) -> None:
    if wanted.bank:
        lines.add(f'targets("bank", {wanted.bank}, at={lines.at(wanted.bank)})')
    if wanted.drops:
        lines.add(
            f'drops("drop", {wanted.drops}, at={lines.at(wanted.drops)}, reset=Coil({lines.drive()}, LIFT))'
        )
    if wanted.standups:
        count = f", {wanted.standups}" if wanted.standups > 1 else ""
        lines.add(f'targets("standup"{count}, at={lines.at(wanted.standups)})')


def _sides(lines: Lines, wanted: Wanted) -> None:
    lines.add(f"slings(at={lines.at(2)}, coil=Coil({lines.drive(2)}, KICK))")
    lines.add(f'lanes("inlane", ("left", "right"), at={lines.at(2)})')
    lines.add(f'lanes("outlane", ("left", "right"), at={lines.at(2)}, drains=True)')
    if wanted.kickback:
        lines.add(f'kickback("kickback", lane="outlane.left", coil=Coil({lines.drive()}, KICK))')


def _holes(lines: Lines, wanted: Wanted) -> None:
    if wanted.saucer:
        lines.add(f'hole("saucer", at={lines.at()}, coil=Coil({lines.drive()}, SMALL))')
    if wanted.lock:
        count = wanted.lock
        lines.add(
            f'hole("vault", {count}, at={lines.at(count)}, coil=Coil({lines.drive()}, SMALL), search=3)'
        )
    if wanted.gate:
        lines.add(f'drops("gate", at={lines.at()}, reset=Coil({lines.drive()}, LIFT))')
        lines.add(f'hole("den", at={lines.at()}, coil=Coil({lines.drive()}, SMALL))')
    if wanted.tunnel:
        lines.add(f'hole("exit", at={lines.at()}, coil=Coil({lines.drive()}, SMALL), shot=False)')
        lines.add(f'tunnel("cellar", to="exit", at={lines.at()})')


def _cabinet(lines: Lines, wanted: Wanted) -> None:
    strong, hold = lines.drive(2), lines.drive(2)
    lines.add(f"flippers(strong=Coil({strong}, THROW), hold=Coil({hold}, HOLD))")
    players = f", players={wanted.players}" * (wanted.players < MOST["players"])
    coils = f"knocker=Coil({lines.drive()}, SMALL), meter=Coil({lines.drive()}, COUNTS)"
    lines.add(f"cabinet({coils}{players})")
    if wanted.displays == "digits":
        lines.add(f'displays("player", {wanted.players}, digits=7)')
        lines.add('displays("count", digits=2, shows="count")')
    if wanted.wheel:
        lines.add(f'wheel("wheel", 8, at=16, motor=Coil({lines.drive()}, TURNS))')
