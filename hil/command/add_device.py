"""`inlane add saucer`, `bank`, …: a device more in a game's machine file, its tables and its rule class."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import GameError, UsageError
from hil import games
from hil.authoring import compose, description, odds, small_rules
from hil.authoring.draft import Draft
from hil.bench.outcome import PASS, USAGE
from hil.checks.build import shown
from hil.command.machine import save
from hil.command.names import renew_changed
from hil.machine import editing, features, writing
from hil.machine.checked import MOST_OF_A_KIND
from hil.machine.complaints import advice
from hil.machine.expanding import FILE
from hil.machine.from_tables.calls import Call, Constant, printed
from hil.machine.places import LINE, MOST_DIRECT, MOST_LINES, Wire, names

NAME = Annotated[str, typer.Argument(help="What it is called: small letters, digits and _.")]
TO = Annotated[str, typer.Option("--to", help="The game, by name or folder.")]
AT = Annotated[str, typer.Option(help="Row and column of its first switch, such as 2,8; else the next free.")]
DRIVE = Annotated[int, typer.Option(help="Its first drive; else the next free.")]
LAMP = Annotated[str, typer.Option(help="Colour of its lamps; none: it has none.")]
WINDING = Annotated[str, typer.Option(help="A winding of the machine file; else as a line of its kind has.")]
N = Annotated[int, typer.Option("--n", help="How many.")]
BARE = Annotated[bool, typer.Option("--no-rule", help="Without a small rule and its scripts.")]


@dataclass(frozen=True)
class NewDevice:
    """What a line more is to have; "" and 0: the next free place, or as usual."""

    kind: str
    name: str
    to: str
    switches: int
    at: str = ""
    drives: int = 0
    drive: int = 0
    coil: str = "coil"
    lamps: int = 0
    lamp: str = "none"
    winding: str = ""
    count: int = 1
    reset: str = ""
    """The bank whose reset raises these too."""
    bare: bool = False
    """Without a small rule."""
    locks: bool = False
    """A hole that rules may lock balls in."""


def register(app: typer.Typer) -> None:
    """Add a sub-command for each kind of device."""
    for command in (saucer, lock, lanes, bank, drops, spinner, bumpers, ramp, orbit):
        app.command()(command)


def saucer(
    name: NAME,
    to: TO = ".",
    at: AT = "",
    drive: DRIVE = 0,
    lamp: LAMP = "white",
    winding: WINDING = "",
    bare: BARE = False,
) -> int:
    """Add a saucer or hole for one ball, with its eject coil, lamp and rule class.

    Example: inlane add saucer pond --to ./my_game --at 2,8 --drive 11
    """
    return _add(NewDevice("hole", name, to, 1, at, 1, drive, "coil", 1, lamp, winding, bare=bare))


def lock(
    name: NAME,
    to: TO = ".",
    n: N = 2,
    at: AT = "",
    drive: DRIVE = 0,
    winding: WINDING = "",
    bare: BARE = False,
) -> int:
    """Add a hole that holds several balls behind one coil.

    Example: inlane add lock vault --n 3 --to ./my_game
    """
    return _add(
        NewDevice("hole", name, to, n, at, 1, drive, winding=winding, count=n, bare=bare, locks=True),
        {"search": 3},
    )


def lanes(name: NAME, to: TO = ".", n: N = 3, at: AT = "", lamp: LAMP = "white", bare: BARE = False) -> int:
    """Add a row of rollover lanes with their lamps.

    Example: inlane add lanes top --n 4 --to ./my_game
    """
    return _add(NewDevice("lanes", name, to, n, at, lamps=n, lamp=lamp, count=n, bare=bare))


def bank(name: NAME, to: TO = ".", n: N = 3, at: AT = "", lamp: LAMP = "white", bare: BARE = False) -> int:
    """Add a bank of targets that stand, with their lamps; one target with --n 1.

    Example: inlane add bank buoy --n 4 --to ./my_game --lamp red
    """
    return _add(NewDevice("targets", name, to, n, at, lamps=n, lamp=lamp, count=n, bare=bare))


def drops(
    name: NAME,
    to: TO = ".",
    n: N = 3,
    at: AT = "",
    drive: DRIVE = 0,
    lamp: LAMP = "none",
    winding: WINDING = "",
    reset: Annotated[str, typer.Option(help="Another bank, whose reset raises these too.")] = "",
    bare: BARE = False,
) -> int:
    """Add drop targets with one reset coil, or with the reset of another bank.

    Example: inlane add drops gate --n 3 --to ./my_game --drive 12
    """
    if reset:
        return _add(
            NewDevice("drops", name, to, n, at, lamps=n, lamp=lamp, count=n, reset=reset, bare=bare),
            {"reset": reset},
        )
    return _add(NewDevice("drops", name, to, n, at, 1, drive, "reset", n, lamp, winding, n, bare=bare))


def spinner(name: NAME, to: TO = ".", at: AT = "", lamp: LAMP = "white", bare: BARE = False) -> int:
    """Add a spinner with its lamp.

    Example: inlane add spinner reel --to ./my_game
    """
    return _add(NewDevice("spinner", name, to, 1, at, lamps=1, lamp=lamp, bare=bare))


def bumpers(
    name: NAME,
    to: TO = ".",
    n: N = 3,
    at: AT = "",
    drive: DRIVE = 0,
    lamp: LAMP = "white",
    winding: WINDING = "",
    bare: BARE = False,
) -> int:
    """Add bumpers, each with its coil and lamp.

    Example: inlane add bumpers reeds --n 2 --to ./my_game
    """
    return _add(NewDevice("bumpers", name, to, n, at, n, drive, "coil", n, lamp, winding, n, bare=bare))


def ramp(
    name: NAME,
    to: TO = ".",
    at: AT = "",
    end: Annotated[str, typer.Option(help="The lane it ends in, or left or right: that flipper.")] = "right",
    bare: BARE = False,
) -> int:
    """Add a ramp: a switch where it begins, one where it is made, and its rule class.

    Example: inlane add ramp bridge --end inlane.left --to ./my_game
    """
    return _add(NewDevice("ramp", name, to, 2, at, bare=bare), {"to": end})


def orbit(name: NAME, to: TO = ".", at: AT = "", lamp: LAMP = "none", bare: BARE = False) -> int:
    """Add an orbit with one switch, and its rule class.

    Example: inlane add orbit outer --to ./my_game
    """
    return _add(NewDevice("orbit", name, to, 1, at, lamps=1, lamp=lamp, bare=bare))


def _add(device: NewDevice, more: dict[str, object] | None = None) -> int:
    if device.count < 1:  # no free place could be looked for; more than most is told by the machine file
        raise UsageError(f"--n takes 1 to {MOST_OF_A_KIND}, not {device.count}")
    game, folder, package = games.locate(device.to)
    path = folder / FILE
    where = f"{shown(folder)}/{FILE}"
    if not path.is_file():
        raise UsageError(f"there is no {FILE}; inlane machine {game} --from-tables writes one", shown(folder))
    text = path.read_text(encoding="utf-8")
    before, errors = editing.made_of(text, where)
    if before is None:
        return _told(errors)
    line = _line(device, text, editing.free(before), more or {})
    changed = editing.with_line(text, "\n".join(printed(line)))
    made, errors = editing.made_of(changed, where)
    if made is None:
        return _told(errors)
    draft = Draft(folder, package)
    for name, content in {FILE: changed, **writing.files(made), **_feature(folder, package, device)}.items():
        draft.put(name, content)
    present = {shot.name for shot in before.host.SHOTS}
    odds.add_shots(draft, [shot.name for shot in made.host.SHOTS if shot.name not in present])
    if not device.bare:
        _add_rule(draft, device)
    save(folder, draft.texts())
    renew_changed(device.to)
    print(f"try: inlane add rule --to {device.to}, inlane check {device.to}")
    return PASS


def _add_rule(draft: Draft, device: NewDevice) -> None:
    """A small rule for the device: its feature, its scripts, its line in the rule sheet."""
    lamps = names(device.name, device.lamps) if device.lamps and device.lamp != "none" else []
    reset = f"{device.reset}_reset" if device.reset else ""
    text = small_rules.of_device(device.kind, device.name, device.count, lamps, reset)
    blocks = description.read(text, f"the rule of {device.name}", compose.kinds_and_fields())
    for problem in compose.compose(draft, blocks):
        typer.echo(f"note: {problem}", err=True)


def _told(errors: list[GameError]) -> int:
    for error in errors:
        typer.echo(str(error), err=True)
    typer.echo("nothing was changed", err=True)
    return USAGE


def _line(device: NewDevice, text: str, free: editing.Free, more: dict[str, object]) -> Call:
    count: list[object] = [device.count] if device.count > 1 else []
    line = Call(device.kind, [device.name, *count])
    line.named["at"] = _place(device.at) if device.at else free.switch(device.switches)
    if device.drives:
        drive = device.drive or free.drive(device.drives)
        line.named[device.coil] = Call("Coil", [drive, *_winding(device, text)])
    if device.lamps and device.lamp != "none":
        what = "lamp" if device.kind in ("hole", "spinner") else "lamps"
        line.named[what] = Call("Lamp", [device.lamp, free.lamp(device.lamps)])
    line.named |= more
    return line


def _place(text: str) -> Wire:
    parts = text.split(",")
    if len(parts) != 2 or not all(part.strip().isdigit() for part in parts):
        raise UsageError(f"--at '{text}' is no place; it takes row,column such as 2,8")
    row, column = int(parts[0]), int(parts[1])
    most = MOST_DIRECT if row == 0 else LINE
    if not (0 <= row <= MOST_LINES and 1 <= column <= most):
        lines = f"rows 1 to {MOST_LINES}, columns 1 to {LINE}, or row 0 for direct inputs"
        raise UsageError(f"--at '{text}' is no place; there are {lines}")
    return row, column


def _winding(device: NewDevice, text: str) -> list[object]:
    """The winding by name: as given, that of a line of the same kind, or that of the trough's coil."""
    known = editing.windings(text)
    if device.winding and device.winding not in known:
        near = advice(device.winding, known)
        raise UsageError(f"the machine file has no winding '{device.winding}'{near}")
    like = (device.kind, "trough", "outhole")
    found = device.winding or next(
        (one for one in (editing.winding_of(text, kind) for kind in like) if one), ""
    )
    return [Constant(found)] if found else []


def _feature(folder: Path, package: str, device: NewDevice) -> dict[str, str]:
    """The files that give a hole, ramp or orbit its rule class; none for other kinds."""
    places = tuple(names(device.name, device.switches))
    text = features.source("lock" if device.locks else device.kind, device.name, places)
    if not text:
        return {}
    module = device.name.replace(".", "_")
    file = f"features/{module}.py"
    if (folder / file).exists():
        raise UsageError(f"{file} is there already; nothing was changed", shown(folder))
    game = (folder / "game.py").read_text(encoding="utf-8")
    game = features.with_feature(game, package, module, features.class_name(device.name))
    if device.kind != "hole" or device.locks:
        return {file: text, "game.py": game}
    shots, shots_text = _hole_shots(folder, device.name)
    if not (folder / shots).exists():
        game = features.with_feature(game, package, Path(shots).stem, features.HOLE_SHOTS)
    return {file: text, "game.py": game, shots: shots_text}


def _hole_shots(folder: Path, name: str) -> tuple[str, str]:
    """The file that says which holes count as shots, with the new one; another file when there is none."""
    for path in sorted((folder / "features").glob("*.py")):
        text = features.with_hole_shot(path.read_text(encoding="utf-8"), name)
        if text:
            return f"features/{path.name}", text
    return "features/hole_shots.py", features.with_hole_shot(features.SHOTS, name)
