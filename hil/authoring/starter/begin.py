"""Begins a game: writes its folder, from the machine file to the first scripts."""

from importlib import resources
from pathlib import Path

from firmware.base.errors import GameError
from hil.authoring import compose, description, edits, machine, small_rules, template
from hil.authoring.draft import Draft
from hil.authoring.facts import Facts
from hil.authoring.odds import weights
from hil.authoring.starter import devices, machine_lines
from hil.authoring.starter.devices import Devices, Group
from hil.authoring.starter.wanted import Wanted
from hil.authoring.tidy import tidy
from hil.authoring.words import count, shown
from hil.machine.tables import MachineTables

CABINET_LAMPS = ["again", "start", "tilt"]
USUAL_TROUGH = ("trough.1", "trough.2", "trough.3")
OUTHOLE = ("outhole",)
JAM = "trough.jam"
PLUNGER = "auto_plunger"


def begin(folder: Path, wanted: Wanted) -> list[str]:
    """Write a new game into `folder`, which must not exist; the names of its files. Raises InlaneError."""
    draft, found = lay_out(folder, machine_lines.text(_title(folder), wanted), wanted.balls)
    groups = sorted(found.groups, key=lambda group: group.kind == "lanes")
    raised = [group for group in groups[1:] if group.kind == "drops"]  # only a rule raises them again
    return _with_rules(draft, found, [*groups[:1], *raised])


def begin_from(folder: Path, machine_text: str, balls: int = 3) -> list[str]:
    """Write a game for a machine file: points for each shot, one small rule for each group of lights."""
    draft, found = lay_out(folder, machine_text, balls)
    return _with_rules(draft, found, found.groups)


def bare(folder: Path, wanted: Wanted) -> Draft:
    """A game with the wanted devices and no rule yet, not written. Raises InlaneError."""
    return lay_out(folder, machine_lines.text(_title(folder), wanted), wanted.balls)[0]


def lay_out(folder: Path, machine_text: str, balls: int) -> tuple[Draft, Devices]:
    """A game with its devices and no rule yet, not written. Raises InlaneError."""
    draft = Draft(folder, folder.name)
    draft.add(machine.FILE, machine_text)
    wired = {row.name: (row.row, row.column) for row in machine.tables(draft).wiring.LAMPS}
    edits.add_lamps(draft, Facts(lamps=wired), [*CABINET_LAMPS, *_display_lamps(draft)], "white")
    machine.remake(draft)
    made = machine.tables(draft)
    found = devices.of_machine(draft.read(machine.FILE), made)
    _write_files(draft, _title(folder), balls, found, made)
    return draft, found


def _display_lamps(draft: Draft) -> list[str]:
    """Beside text: the score is too long for it. Beside several displays of digits: which player is up."""
    displays = machine.tables(draft).wiring.DISPLAYS
    scores = [row for row in displays if row.shows == "score"]
    return (
        [f"up.{number}" for number in range(1, len(scores) + 1) if len(scores) > 1]
        if displays
        else ["rollover"]
    )


def _title(folder: Path) -> str:
    return folder.name.replace("_", " ").capitalize()


def _with_rules(draft: Draft, found: Devices, groups: list[Group]) -> list[str]:
    """The game with its first rules, written; the names of its files."""
    rules = description.read(first_rules(found, groups), "the first rules", compose.kinds_and_fields())
    problems = compose.compose(draft, rules)
    if problems:
        raise GameError(problems[0], str(draft.folder))
    return draft.save()


def first_rules(found: Devices, groups: list[Group]) -> str:
    """What shots are worth, and a rule for each of these groups; a bonus where there is none."""
    pays = ", ".join(f"{points:,} for {name}" for name, points in found.points)
    rules = [
        f"rule Points\nkind points\npays {pays}\n",
        *(small_rules.of_group(group.kind == "lanes", group.name) for group in groups),
    ]
    if not groups:
        counted = ", ".join(name for name, _ in found.points[:2])
        rules.append(f"rule End bonus\nkind bonus\ncounts {counted}\neach 1,000\nat most 50\n")
    return "\n".join(rules)


def _write_files(draft: Draft, title: str, balls: int, found: Devices, made: MachineTables) -> None:
    values = _values(draft.package, title, balls, found, made)
    draft.add("__init__.py", f'"""{title}: a game of its own."""\n')
    draft.add("features/__init__.py", f'"""The rules of {title}, a feature a file."""\n')
    draft.add("host/__init__.py", '"""Tables that only a host reads: the machine, shots, tones."""\n')
    draft.add("game.py", tidy(_filled("game", values)))
    draft.add("settings.py", _filled("settings", values))
    draft.add("rules.md", _filled("rules", values))
    if values["own_trough"]:
        draft.add("features/home.py", tidy(_filled("home", values)))
    if values["classes"]:
        draft.add("features/shots.py", tidy(_filled("shots", values)))
    if values["covers"]:
        draft.add("scripts/shots_count.play", _filled("shots_script", values))
    draft.add("host/season.py", _filled("season", values))
    draft.add("host/tones.py", _filled("tones", values))
    draft.add("host/test_game.py", _filled("python_test", values))


def _filled(name: str, values: dict[str, object]) -> str:
    text = resources.files("hil.authoring.starter.files").joinpath(f"{name}.txt").read_text(encoding="utf-8")
    return template.fill(text, values)


def _values(package: str, title: str, balls: int, found: Devices, made: MachineTables) -> dict[str, object]:
    shots = [*found.orbits, *found.ramps, *found.holes]
    holes = bool(found.holes)
    odds = weights([shot.name for shot in made.host.SHOTS])
    total = sum(weight for _, weight in odds)
    classes = [device.cls for device in shots] + ["HoleShots"] * holes
    home = _home(made)
    covers = (
        ["trough"] * bool(home["own_trough"]) + [device.feature for device in shots] + ["hole_shots"] * holes
    )
    return {
        "package": package,
        "title": title,
        "display": shown(title),
        "balls": balls,
        "balls_words": _words(balls).capitalize(),
        "in_machine_words": _words(made.wiring.BALLS),
        "orbits": found.orbits,
        "ramps": found.ramps,
        "holes": found.holes,
        "locking": [device for device in found.holes if device.locks],
        "giving": [device for device in found.holes if not device.locks],
        "classes": classes,
        "classes_text": ", ".join(sorted(classes)),
        "covers": ", ".join(covers),
        "left": made.wiring.BALLS - 1,
        "odds": odds,
        "new": total // 3,
        "regular": total // 6,
        "keen": total // 12,
        "text": not made.wiring.DISPLAYS,
        "scores": "ScoreDisplays" if made.wiring.DISPLAYS else "Scoreboard",
        **home,
    }


def _home(made: MachineTables) -> dict[str, object]:
    """The classes of trough and shooter: the kit's, or one of the game's own for other places."""
    jam = any(row.name == JAM for row in made.wiring.SWITCHES)
    outhole = made.wiring.TROUGH == OUTHOLE
    own = not outhole and (not jam or made.wiring.TROUGH != USUAL_TROUGH)
    by_hand = all(row.name != PLUNGER for row in made.wiring.COILS)
    return {
        "own_trough": own,
        "jam": f'"{JAM}"' if jam else "None",
        "trough": "BallTrough" if own else "Outhole" if outhole else "Trough",
        "home": "outhole" if outhole else "trough",
        "shooter": "HandShooter" if by_hand else "Shooter",
        "shooter_module": "hand_shooter" if by_hand else "shooter",
    }


def _words(balls: int) -> str:
    return f"{count(balls)} ball{'s' * (balls != 1)}"
