"""Planted faults (mutation tests): one change of source text at a time, which the scripts must catch.

Each change is made in a copy of the firmware, and a process of its own replays the scripts there. The
sources of the checkout are only read.
"""

import json
import os
import shutil
import subprocess
import sys
import tomllib
from dataclasses import dataclass, field
from pathlib import Path

import firmware
import hil
from firmware.base.errors import UsageError
from hil.bench.outcome import FAIL, PASS
from hil.bench.report import OutcomeData

FIRMWARE = Path(firmware.__path__[0])
HOST = Path(hil.__path__[0]).parent
FIELDS = ("name", "feature", "file", "old", "new")
LONGEST_S = 300
S_A_GAME = 5
FIRST_GAMES = 10
_RUN = """
import sys
import firmware
if not firmware.__path__[0].startswith(sys.argv.pop(1)):
    sys.exit(f"the copy is not what runs, but {firmware.__path__[0]}")
from hil.command import main
main()
"""


@dataclass(frozen=True)
class Fault:
    """One change: in `file` (from the top of the checkout), `old` becomes `new`."""

    name: str
    feature: str
    file: str
    old: str
    new: str


@dataclass(frozen=True)
class FaultResult:
    """The scripts that failed with a planted fault, each with what it expected."""

    fault: Fault
    failed_scripts: dict[str, str] = field(default_factory=dict)
    failed_elsewhere: dict[str, str] = field(default_factory=dict)
    problem: str = ""
    """Why the fault could not be planted, or its copy not be run; "" when it could."""

    @property
    def is_caught(self) -> bool:
        """Whether a script that covers the fault's feature failed."""
        return bool(self.failed_scripts)


def read(path: Path) -> list[Fault]:
    """Read a list of faults (TOML). Raises UsageError with what is wrong in it."""
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise UsageError(f"the list of faults cannot be read: {error.strerror or error}", str(path)) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise UsageError(f"the list of faults is no TOML: {error}", str(path)) from None
    faults = []
    for number, row in enumerate(table.get("fault", []), 1):
        wrong = sorted(set(row) ^ set(FIELDS))
        if wrong or not all(isinstance(value, str) for value in row.values()):
            raise UsageError(f"fault {number} has the texts {', '.join(FIELDS)}; look at {wrong}", str(path))
        faults.append(Fault(**row))
    if not faults:
        raise UsageError("the list has no [[fault]]", str(path))
    return faults


def inject(fault: Fault, into: Path) -> Path:
    """Copy the firmware into `into`, with the fault. Raises UsageError unless its text occurs once."""
    shutil.copytree(FIRMWARE, into / "firmware", ignore=shutil.ignore_patterns("__pycache__", "*.mpy"))
    file = into / fault.file
    if not file.is_file():
        raise UsageError("there is no such file", fault.file)
    text = file.read_text(encoding="utf-8")
    if text.count(fault.old) != 1:
        raise UsageError(f"the fault's old text stands {text.count(fault.old)} times", fault.file)
    file.write_text(text.replace(fault.old, fault.new), encoding="utf-8")
    return into


def replay(root: Path, game: str, names: list[str] | None = None) -> list[OutcomeData]:
    """The outcomes of a game's scripts (all, or those named) with the firmware in `root`.

    Raises UsageError when they could not be run at all.
    """
    scripts = root / "firmware" / "games" / game / "scripts"
    given = [str(scripts / name) for name in names] if names else [str(scripts)]
    outcomes: list[OutcomeData] = json.loads(_run(root, ["replay", "--json", *given], LONGEST_S))["scripts"]
    return outcomes


def season(root: Path, game: str, games: int, seed: int = 1) -> dict[str, str]:
    """By seed, the first finding of each of a season's games in which the game's independent model differs.

    `seed`: of the first of them. Raises UsageError when they could not be played at all.
    """
    command = ["season", game, "--judge", "model", "--games", str(games), "--seed", str(seed), "--json"]
    found: dict[str, str] = json.loads(_run(root, command, LONGEST_S + S_A_GAME * games))["wrong"]
    return found


def _run(root: Path, words: list[str], longest_s: int) -> str:
    """What an `inlane` command prints with the firmware in `root`. Raises UsageError."""
    environment = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join((str(root), str(HOST))),
        "PYTHONDONTWRITEBYTECODE": "1",
    }
    command = [sys.executable, "-c", _RUN, str(root), *words]
    done = subprocess.run(
        command, cwd=root, env=environment, capture_output=True, text=True, timeout=longest_s, check=False
    )
    if done.returncode not in (PASS, FAIL) or not done.stdout.startswith("{"):
        last = done.stderr.strip().splitlines()[-1:] or ["nothing"]
        raise UsageError(f"{words[0]} did not run (exit code {done.returncode}): {last[0]}")
    return done.stdout


def covering(game: str, feature: str) -> list[str]:
    """The names of a game's scripts whose `covers` line has a feature."""
    found = []
    for path in sorted((FIRMWARE / "games" / game / "scripts").glob("*.play")):
        for line in path.read_text(encoding="utf-8").splitlines():
            if line.startswith("covers ") and feature in line.replace(",", " ").split():
                found.append(path.name)
    return found


def hunt(fault: Fault, game: str, into: Path, everywhere: bool = False) -> FaultResult:
    """Plant one fault and replay the scripts that cover its feature, or all with `everywhere`.

    Raises nothing: what prevents the trial is the result's `problem`.
    """
    names = covering(game, fault.feature)
    if not names:
        return FaultResult(fault, problem=f"no script covers {fault.feature}")
    red: dict[str, str] = {}
    elsewhere: dict[str, str] = {}
    try:
        outcomes = replay(inject(fault, into), game, None if everywhere else names)
    except UsageError as error:
        return FaultResult(fault, problem=str(error))
    for outcome in outcomes:
        if outcome["code"] == FAIL:
            name = Path(outcome["script"]).name
            (red if name in names else elsewhere)[name] = outcome["problems"][0]["expected"]
    return FaultResult(fault, red, elsewhere)


def hunt_by_model(fault: Fault, game: str, into: Path, games: int, sound: dict[str, str]) -> FaultResult:
    """Plant one fault and play at most so many games, judged by the game's independent model.

    A game counts whose first difference is not the one without the fault (`sound`). The games are played in
    growing portions, until one counts. Raises nothing.
    """
    red: dict[str, str] = {}
    played = 0
    try:
        inject(fault, into)
        while played < games and not red:
            portion = min(max(FIRST_GAMES, played), games - played)
            found = season(into, game, portion, played + 1)
            red = {f"seed {seed}": seen for seed, seen in found.items() if seen != sound.get(seed)}
            played += portion
    except (UsageError, subprocess.TimeoutExpired) as error:
        return FaultResult(fault, problem=str(error))
    return FaultResult(fault, red)
