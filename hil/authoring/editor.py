"""What an editor needs to complete a game's names and to underline a wrong one."""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import cast

import firmware
from firmware.base.errors import GameError
from firmware.charts.events import EVERY
from firmware.charts.model import Region
from firmware.charts.row import rows_of
from firmware.charts.suggest import did_you_mean
from hil.checks.chart_events import HandleRecorder
from hil.games import Game

STUBS = "host/typings"
STUB = f"{STUBS}/firmware/play/name_types.pyi"
TONES = "host/tones.py"
CONFIGURATION = "pyrightconfig.json"
INTRODUCTION = '''"""This game's names, for editors. Made by `inlane names`, renewed by `inlane check`."""

from typing import Literal, Never, TypeAlias
'''
USUAL = {"ignore": ["host/machine.py"], "typeCheckingMode": "standard", "reportMissingModuleSource": False}


def write(game: Game) -> list[str]:
    """Write stub and configuration into the game's folder; their names. Raises GameError: no such console."""
    texts = {STUB: stub(game), CONFIGURATION: configuration(game)}
    for name, text in texts.items():
        path = game.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return list(texts)


def renew(game: Game) -> bool:
    """Write the stub again where the game has one and its names have changed. Raises GameError, OSError."""
    path = game.folder / STUB
    if not path.is_file():
        return False
    text = stub(game)
    if path.read_text(encoding="utf-8") == text:
        return False
    path.write_text(text, encoding="utf-8")
    return True


def stub(game: Game) -> str:
    """The stub of firmware.play.name_types: for each kind of name, those of this game."""
    console = cast(HandleRecorder, game.console(kind=HandleRecorder))
    return "\n".join([INTRODUCTION, *(_alias(kind, names) for kind, names in _names(game, console))])


def configuration(game: Game) -> str:
    """The configuration of pyright and pylance; what the author added is left. Raises GameError: no JSON."""
    path = game.folder / CONFIGURATION
    present = _read(path) if path.is_file() else USUAL
    places = [str(Path(firmware.__path__[0]).parent)]
    if not game.package.startswith("firmware."):
        places.insert(0, "..")
    return json.dumps({**present, "extraPaths": places, "stubPath": STUBS}, indent=2) + "\n"


def _read(path: Path) -> dict[str, object]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except ValueError as error:
        raise GameError(f"this is no JSON: {error}", str(path)) from None
    if not isinstance(found, dict):
        raise GameError("a configuration of pyright is an object in braces", str(path))
    return found


def _names(game: Game, console: HandleRecorder) -> list[tuple[str, Iterable[str]]]:
    """Every alias of firmware.play.name_types with its names, in their order."""
    play = console.play
    return [
        ("SwitchName", console.switch_names),
        ("LampName", console.lamp_names),
        ("CoilName", console.coil_names),
        ("CueName", _cues(game, console)),
        ("SettingName", [setting.name for setting in play.settings.all]),
        ("FeatureName", [feature.name for feature in play.features]),
        ("RaisedEvent", sorted(console.raised())),
        ("HeardEvent", sorted(_heard(console))),
        ("AwardName", console.award_names),
        ("NoName", [""]),
    ]


def _cues(game: Game, console: HandleRecorder) -> list[str]:
    """Cues that have a sound, and the others, but for those whose name is nearly that of one with a sound."""
    tones = getattr(game.host("tones"), "TONES", ()) if (game.folder / TONES).is_file() else ()
    chimes = getattr(game.wiring, "CHIMES", ())
    sounding = [str(row[0]) for row in (*tones, *chimes)]
    silent = [cue for cue in console.cue_names if cue not in sounding and not did_you_mean(cue, sounding)]
    return sorted({*sounding, *silent})


def _heard(console: HandleRecorder) -> set[str]:
    """Every event that a row of a chart waits for."""
    found: set[str] = set()
    for feature in console.play.features:
        for row in rows_of(Region(feature.name, feature, feature.chart, feature.states)):
            found.update(row.hears)
    return found - {EVERY}


def _alias(kind: str, names: Iterable[str]) -> str:
    rows = "".join(f"    {json.dumps(name)},\n" for name in names)
    return f"{kind}: TypeAlias = Literal[\n{rows}]" if rows else f"{kind}: TypeAlias = Never"
