"""Files of games changed at random: what `inlane check` passes, no other command refuses or stumbles over."""

import random
import re
import shutil
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner

from hil import games
from hil.build import staging, trial
from hil.checks import coils, kept
from hil.command import app

SEEDS = range(1, 26)
MPY_CROSS = Path(shutil.which("mpy-cross") or "mpy-cross")
RANDOM_GAMES = "40"
STOPPED = "the machine keeps running"
Mutation = Callable[[random.Random, str], str]
MADE = {"new": ("--bank", "3", "--saucer"), "kit": ("--like", "kit_room"), "hand": ("--like", "kit_room")}
WORD = re.compile(r"[\"'](\w[\w.]+)[\"']")
NUMBER = re.compile(r"(?<![\w.])\d+(?![\w.])")


def swap_characters(chance: random.Random, text: str) -> str:
    """Two neighbouring characters of a name change places."""
    found = chance.choice(list(WORD.finditer(text)))
    at = chance.randrange(found.start(1), found.end(1) - 1)
    return text[:at] + text[at + 1] + text[at] + text[at + 2 :]


def other_name(chance: random.Random, text: str) -> str:
    """A name takes the place of another."""
    found = list(WORD.finditer(text))
    old, new = chance.choice(found), chance.choice(found)
    return text[: old.start(1)] + new[1] + text[old.end(1) :]


def change_number(chance: random.Random, text: str) -> str:
    """Another number."""
    found = chance.choice(list(NUMBER.finditer(text)))
    new = chance.choice(["0", "1", "7", "99", "-1", "1000000", "2000000000", str(int(found[0]) + 1)])
    return text[: found.start()] + new + text[found.end() :]


def quote_number(chance: random.Random, text: str) -> str:
    """A number in quotes."""
    found = chance.choice(list(NUMBER.finditer(text)))
    return f'{text[: found.start()]}"{found[0]}"{text[found.end() :]}'


def delete_one(signs: str) -> Mutation:
    """One of these signs is left out."""

    def delete(chance: random.Random, text: str) -> str:
        at = chance.choice([at for at, sign in enumerate(text) if sign in signs])
        return text[:at] + text[at + 1 :]

    return delete


def of_lines(
    change: Callable[[random.Random, list[str], int], list[str]],
) -> Callable[[random.Random, str], str]:
    """A change of whole lines, at one of them."""

    def changed(chance: random.Random, text: str) -> str:
        lines = text.splitlines(keepends=True)
        at = chance.choice([at for at, line in enumerate(lines) if line.strip()])
        return "".join(change(chance, lines, at))

    return changed


MUTATIONS: dict[str, Mutation] = {
    "two characters swapped": swap_characters,
    "another name": other_name,
    "another number": change_number,
    "a number in quotes": quote_number,
    "a comma left out": delete_one(","),
    "a bracket left out": delete_one("()[]<>/"),
    "a quote left out": delete_one("\"'"),
    "a line left out": of_lines(lambda _, lines, at: lines[:at] + lines[at + 1 :]),
    "a line twice": of_lines(lambda _, lines, at: lines[: at + 1] + lines[at:]),
    "two lines swapped": of_lines(
        lambda _, lines, at: lines[:at] + lines[at : at + 2][::-1] + lines[at + 2 :]
    ),
    "a line of another place": of_lines(
        lambda chance, lines, at: lines[:at] + [chance.choice(lines)] + lines[at + 1 :]
    ),
}


def mutate(seed: int, folder: Path) -> tuple[Path, str]:
    """Change one file of one of the games in `folder`; returns the game and what was done."""
    chance = random.Random(seed)
    game = folder / (name := chance.choice(list(MADE))) / name
    files = sorted(
        path
        for path in game.rglob("*")
        if path.suffix in (".py", ".play", ".svg") and path.name != "__init__.py"
    )
    weights = [1 if path.suffix == ".play" else 2 if path.suffix == ".svg" else 4 for path in files]
    while True:
        (path,) = chance.choices(files, weights)
        kind = chance.choice(list(MUTATIONS))
        before = path.read_text(encoding="utf-8")
        try:
            after = MUTATIONS[kind](chance, before)
        except IndexError:  # nothing of that kind in this file
            continue
        if after != before:
            break
    path.write_text(after, encoding="utf-8")
    line = next(
        (
            at
            for at, (a, b) in enumerate(zip(before.splitlines(), after.splitlines(), strict=False), 1)
            if a != b
        ),
        0,
    )
    if path.name == "machine.py":
        run("machine", str(game))
    return game, f"{path.relative_to(folder)}:{line} {kind}"


def run(*words: str) -> tuple[int, str, BaseException | None]:
    """A command in this process: exit code, output, and an exception that the command did not expect."""
    from firmware.base.errors import InlaneError
    from hil.command import REFUSAL

    done = CliRunner().invoke(app, list(words), standalone_mode=False)
    code = done.return_value if isinstance(done.return_value, int) else 0
    error = done.exception
    if isinstance(error, InlaneError | REFUSAL):
        return 2, f"{done.output}{error}", None
    if isinstance(error, SystemExit) or type(error).__name__ == "Exit":
        return int(getattr(error, "exit_code", getattr(error, "code", 2))), done.output, None
    return code, done.output, error


def commands(game: Path, out: Path) -> list[tuple[str, ...]]:
    """What is run of a game that passed."""
    shown = str(game)
    scripts = sorted((game / "scripts").glob("*.play"))
    made = [("machine", shown)] if (game / "host/machine.py").is_file() else []
    return [
        *made,
        *[("play", shown, "--script", str(path), "--picture", str(out / "desk.png")) for path in scripts[:1]],
        *[("replay", str(game / "scripts"))] * bool(scripts),
        ("season", shown, "--games", "3"),
        ("season", shown, "--games", "3", "--skill", "mixed"),
        ("card", shown),
        ("card", shown, "--out", str(out / "card.svg")),
        ("card", shown, "--out", str(out / "card.md")),
        ("draw", shown, "--out", str(out / "charts")),
        ("draw", shown, "--out", str(out / "charts.scxml")),
        ("wiring", shown, "--out", str(out / "sheets")),
    ]


def refused_after(game: Path, out: Path, passed: str) -> list[str]:
    """The commands that refuse or stumble over a game, or whose run stops the machine.

    `passed`: what check printed, where a note may say that the machine is too large for the board's sheets.
    """
    found = []
    for words in commands(game, out):
        code, output, error = run(*words)
        noted = words[0] == "wiring" and "no work sheets for" in passed
        if error is not None:
            found.append(f"{words[0]} raised {type(error).__name__}: {error}")
        elif code >= 2 and not noted:
            found.append(f"{words[0]} refused: {output.strip().splitlines()[-1:]}")
        elif STOPPED in output:
            found.append(f"{words[0]}: the machine stopped: {output.strip()[-200:]}")
    return found + not_on_a_board(game)


def not_on_a_board(folder: Path) -> list[str]:
    """What deploy and image would refuse before a board is asked, or stumble over.

    Left out: the size of the machine, and memory, which `check --board` judges, and MicroPython's own build.
    """
    games.forget(folder.name)
    game = games.load(str(folder))
    try:
        refused = [*coils.refusals(game), *kept.refusals(game.console())]
        made = trial.romfs(game, MPY_CROSS, "armv6m")
    except Exception as error:
        return [f"deploy raised {type(error).__name__}: {error}"]
    assert game.package.encode() in trial.header(game)
    assert len(made) > len(staging.game_sources(game))
    return [f"deploy refused: {text}" for text in refused]


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("mutated")
    for name, words in MADE.items():
        assert run("new", str(folder / name / name), *words)[0] == 0
    (folder / "hand/hand/host/machine.py").unlink()
    return folder


@pytest.mark.slow
@pytest.mark.parametrize("seed", SEEDS)
def test_what_check_passes_nothing_else_refuses(made, tmp_path, monkeypatch, seed):
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    shutil.copytree(made, tmp_path / "games", ignore=shutil.ignore_patterns("__pycache__"))
    game, what = mutate(seed, tmp_path / "games")
    code, output, error = run("check", str(game), "--games", RANDOM_GAMES)
    assert error is None, f"{what}: check raised {error!r}"
    if code:
        assert re.search(r"^\S+: (?!note: ).+$", output, re.M), f"{what}: refused without a sentence"
    else:
        assert refused_after(game, tmp_path, output) == [], what


def test_what_a_board_cannot_be_given_is_reported(made, tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    game = tmp_path / "new"
    shutil.copytree(made / "new/new", game, ignore=shutil.ignore_patterns("__pycache__"))
    assert not_on_a_board(game) == []
    (game / "features/lacking.py").write_text("match 1:\n    case 1:\n        pass\n", encoding="utf-8")
    (found,) = not_on_a_board(game)
    assert found.startswith("deploy raised")
    assert "lacking.py" in found
