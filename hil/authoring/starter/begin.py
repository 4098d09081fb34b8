"""Begins a game: writes its folder, from the machine file to the first scripts."""

from dataclasses import dataclass
from importlib import resources
from pathlib import Path

from firmware.base.errors import GameError
from hil.authoring import compose, description, machine, template
from hil.authoring.draft import Draft
from hil.authoring.starter import drawing, machine_lines
from hil.authoring.starter.wanted import Wanted
from hil.authoring.tidy import tidy
from hil.authoring.words import as_class, count, shown, spoken
from hil.machine.tables import MachineTables

SHOT_WEIGHTS = {"drain": 0, "plunge": 0}
USUAL_WEIGHT = 8
SMALL_POINTS = (
    ("bumper", 300),
    ("sling", 100),
    ("spinner", 100),
    ("top", 500),
    ("bank", 800),
    ("drop", 800),
    ("standup", 800),
    ("gate", 800),
    ("inlane", 500),
    ("outlane", 2_000),
    ("orbit", 2_000),
    ("ramp", 3_000),
    ("saucer", 2_000),
    ("vault", 2_000),
    ("den", 2_000),
    ("exit", 1_000),
)


@dataclass(frozen=True)
class Device:
    """A device that has a class of the kit: its name, its class and feature, its places for balls."""

    name: str
    feature: str
    places: str = ""
    locks: bool = False
    shot: str = ""

    @property
    def cls(self) -> str:
        """The name of its class."""
        return as_class(self.feature)

    @property
    def words(self) -> str:
        """In a sentence."""
        return spoken(self.name)


def begin(folder: Path, wanted: Wanted) -> list[str]:
    """Write a new game into `folder`, which must not exist; the names of its files. Raises InlaneError."""
    draft = lay_out(folder, wanted)
    rules = description.read(first_rules(wanted), "the first rules", compose.kinds_and_fields())
    problems = compose.compose(draft, rules)
    if problems:
        raise GameError(problems[0], str(folder))
    return draft.save()


def lay_out(folder: Path, wanted: Wanted) -> Draft:
    """A game with its devices and no rule yet, not written. Raises InlaneError."""
    title = folder.name.replace("_", " ").capitalize()
    draft = Draft(folder, folder.name)
    draft.add(machine.FILE, machine_lines.text(title, wanted))
    machine.remake(draft)
    _write_files(draft, title, wanted, machine.tables(draft))
    return draft


def first_rules(wanted: Wanted) -> str:
    """The description of the first two rules: what shots are worth, and one group of lights."""
    there = {
        "bumper": wanted.bumpers,
        "spinner": wanted.spinner,
        "top": wanted.lanes,
        "bank": wanted.bank,
        "drop": wanted.drops,
        "standup": wanted.standups,
        "gate": wanted.gate,
        "orbit": wanted.orbits,
        "ramp": wanted.ramp,
        "saucer": wanted.saucer,
        "vault": wanted.lock,
        "den": wanted.gate,
        "exit": wanted.tunnel,
    }
    pays = ", ".join(f"{points:,} for {name}" for name, points in SMALL_POINTS if there.get(name, True))
    return f"rule Points\nkind points\npays {pays}\n\n{_second(wanted)}"


def _second(wanted: Wanted) -> str:
    for name, number in (("bank", wanted.bank), ("drop", wanted.drops)):
        if number > 1:
            title = f"{name.capitalize()} of targets"
            return f"rule {title}\nkind bank\ntargets {name}\npays 10,000, 20,000\nlasts ball\n"
    if wanted.lanes > 1:
        return "rule Top lanes\nkind lanes\nlanes top\npays 10,000\nlasts ball\n"
    return "rule End bonus\nkind bonus\ncounts sling, inlane\neach 1,000\nat most 50\n"


def _write_files(draft: Draft, title: str, wanted: Wanted, made: MachineTables) -> None:
    values = _values(draft.package, title, wanted, made)
    draft.add("__init__.py", f'"""{title}: a game of its own."""\n')
    draft.add("features/__init__.py", f'"""The rules of {title}, a feature a file."""\n')
    draft.add(
        "host/__init__.py", '"""Tables that only a host reads: the machine, shots, tones, the drawing."""\n'
    )
    draft.add("game.py", tidy(_filled("game", values)))
    draft.add("settings.py", _filled("settings", values))
    draft.add("rules.md", _filled("rules", values))
    if values["classes"]:
        draft.add("features/shots.py", tidy(_filled("shots", values)))
        draft.add("scripts/shots_count.play", _filled("shots_script", values))
    draft.add("host/season.py", _filled("season", values))
    draft.add("host/tones.py", _filled("tones", values))
    draft.add("host/layout.py", drawing.text(title, made))


def _filled(name: str, values: dict[str, object]) -> str:
    text = resources.files("hil.authoring.starter.files").joinpath(f"{name}.txt").read_text(encoding="utf-8")
    return template.fill(text, values)


def _values(package: str, title: str, wanted: Wanted, made: MachineTables) -> dict[str, object]:
    orbits = [Device(f"orbit.{side}", f"{side}_orbit") for side in ("left", "right") if wanted.orbits]
    ramps = [Device("ramp", "ramp")] if wanted.ramp else []
    holes = [_hole(row, made) for row in made.host.DEVICES if row[0] not in ("trough", "lane")]
    classes = [device.cls for device in (*orbits, *ramps, *holes)] + ["HoleShots"] * bool(holes)
    odds = [(str(row[0]), SHOT_WEIGHTS.get(str(row[0]), USUAL_WEIGHT)) for row in made.host.SHOTS]
    odds = [each for each in odds if each[1]]
    total = sum(weight for _, weight in odds)
    features = [device.feature for device in (*orbits, *ramps, *holes)] + ["hole_shots"] * bool(holes)
    return {
        "package": package,
        "title": title,
        "display": shown(title),
        "balls": wanted.balls,
        "balls_words": _words(wanted.balls).capitalize(),
        "in_machine_words": _words(wanted.in_machine),
        "orbits": orbits,
        "ramps": ramps,
        "holes": holes,
        "classes": classes,
        "classes_text": ", ".join(sorted(classes)),
        "covers": ", ".join(features),
        "odds": odds,
        "new": total // 3,
        "regular": total // 6,
        "keen": total // 12,
    }


def _words(balls: int) -> str:
    return f"{count(balls)} ball{'s' * (balls != 1)}"


def _hole(row: "tuple[object, ...]", made: MachineTables) -> Device:
    name, slots = str(row[0]), [str(slot) for slot in row[1] if slot]  # type: ignore[attr-defined]
    shots = [str(shot[0]) for shot in made.host.SHOTS if f'"{name}"' in repr(shot).replace("'", '"')]
    places = ", ".join(f'"{slot}"' for slot in slots) + ("," if len(slots) == 1 else "")
    return Device(name, name, places, locks=name == "vault", shot=min(shots, key=len, default=""))
