"""Mistakes of beginners, planted one at a time in a fresh game: `inlane check` gives file, line and mend."""

import re
import shutil
import sys
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from hil.bench.outcome import USAGE
from hil.command import app

TABLE = Path(__file__).parent / "mistakes.toml"
MISTAKES = tomllib.loads(TABLE.read_text(encoding="utf-8"))["mistake"]
MADE = {
    "new": ("--bank", "3", "--saucer"),
    **dict.fromkeys(("kit", "hand", "rule"), ("--like", "kit_room")),
}
BY_HAND = TABLE.with_name("by_hand.txt")
SETTING = '    ("extra_balls", 1, 0, 5, "balls", "extra balls of a player at most"),\n'
INSERT = re.compile(r'(id="rush-lamp" fill="#\w+") d="M338 365.4')
BOM = b"\xef\xbb\xbf"


def make_games(folder: Path) -> None:
    """One game of each sort of the table, in a folder of its own, so that all have their own name."""
    for name, words in MADE.items():
        made = CliRunner().invoke(app, ["new", str(folder / name / name), *words], standalone_mode=False)
        assert made.return_value == 0, made.output
    (folder / "hand/hand/host/machine.py").unlink()
    _write_rule(folder / "rule/rule")


def _write_rule(game: Path) -> None:
    """A rule by hand in the place of one of the kit room's, with the setting that it needs."""
    (game / "features/rush.py").write_text(BY_HAND.read_text(encoding="utf-8"), encoding="utf-8")
    settings = (game / "settings.py").read_text(encoding="utf-8")
    (game / "settings.py").write_text(settings.replace("\n)", f"\n{SETTING})"), encoding="utf-8")
    for path in (game / "scripts").glob("rush_*.play"):
        path.unlink()
    (game / "scripts/rush.play").write_text("covers rush\nstart 1 player\n", encoding="utf-8")


def plant(mistake: dict[str, str], game: Path) -> str:
    """Make the mistake in the game; returns "FILE:LINE" of the complaint that is to come, or "FILE"."""
    path = game / mistake["file"]
    how = mistake.get("how", "whole" if "whole" in mistake else "replace")
    before = path.read_bytes()
    after = {
        "delete": lambda: b"",
        "bom": lambda: BOM + before,
        "latin": lambda: b"# caf\xe9\n" + before,
        "other": lambda: (game.parents[1] / "new/new/rules.md").read_bytes(),
        "whole": lambda: mistake["whole"].encode(),
        "replace": lambda: _replaced(mistake, before.decode()).encode(),
    }[how]()
    path.write_bytes(after)
    if how == "delete":
        path.unlink()
    return _place(mistake, game, before.decode(), how)


def _replaced(mistake: dict[str, str], text: str) -> str:
    if mistake["old"] == "@insert":
        found, count = INSERT.subn(r'\1 transform="translate(900 0)" d="M338 365.4', text)
    else:
        found, count = text.replace(mistake["old"], mistake["new"]), text.count(mistake["old"])
    assert count == 1, f"{mistake['old']!r} stands {count} times"
    return found


def _place(mistake: dict[str, str], game: Path, before: str, how: str) -> str:
    file = mistake.get("at", mistake["file"])
    if how == "delete" or ("at" in mistake and "line" not in mistake):
        return file
    if "line" in mistake:
        lines = (game / file).read_text(encoding="utf-8", errors="replace").splitlines()
        found = [at for at, line in enumerate(lines, 1) if mistake["line"] in line]
        return f"{file}:{found[int(mistake.get('nth', 1)) - 1]}"
    if how != "replace":
        return f"{file}:1"
    old = 'id="rush-lamp"' if mistake["old"] == "@insert" else mistake["old"].strip("\n")
    return f"{file}:{before[: before.index(old)].count(chr(10)) + 1}"


def verdict(mistake: dict[str, str], place: str, complaints: list[str]) -> str:
    """What is missing from the complaints; "" when one of them names the place and says what it must."""
    if not complaints:
        return "fit"
    at_place = [line for line in complaints if re.search(rf"/{re.escape(place)}(:|$)", line.split(": ")[0])]
    if not at_place:
        return f"not at {place}"
    said = [line for line in at_place if mistake["says"].lower() in line.lower()]
    return "" if said else f"not '{mistake['says']}'"


def check(game: Path) -> tuple[list[str], list[str]]:
    """The complaints of `inlane check`, and its notes."""
    done = CliRunner().invoke(app, ["check", str(game), "--games", "0"], standalone_mode=False)
    assert done.exception is None, done.output
    lines = done.output.splitlines()
    verdicts = [line for line in lines if line.startswith(f"{game}: ")]
    assert (done.return_value == USAGE) == verdicts[0].endswith("the game cannot be used"), done.output
    notes = [line for line in lines if ": note: " in line or ": warning: " in line]
    return [line for line in lines if line not in notes and line not in verdicts], notes


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("made")
    make_games(folder)
    return folder


@pytest.fixture
def own(made, tmp_path, monkeypatch) -> Path:
    """The games, copied, to be changed."""
    shutil.copytree(made, tmp_path / "games", ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    return tmp_path / "games"


def test_there_are_sixty_at_least():
    assert len(MISTAKES) >= 60
    assert len({mistake["title"] for mistake in MISTAKES}) == len(MISTAKES)


@pytest.mark.parametrize("game", MADE)
def test_a_game_without_a_mistake_is_fit(own, game):
    assert check(own / game / game) == ([], [])


@pytest.mark.sampled(10)
@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake["title"])
def test_it_is_refused_with_file_line_and_mend(own, mistake):
    game = own / mistake["game"] / mistake["game"]
    place = plant(mistake, game)
    complaints, notes = check(game)
    said = notes if mistake.get("note") else complaints
    assert complaints or mistake.get("note")
    assert verdict(mistake, place, said) == "", "\n".join(complaints + notes)
