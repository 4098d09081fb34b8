"""What is put on a board, and who it then says it is."""

import hashlib
from pathlib import Path

import pytest

from firmware.base.errors import GameError, UsageError
from hil import deploy
from hil.games import load


def test_the_plan_holds_firmware_board_and_game_but_nothing_of_the_host() -> None:
    names = [name for name, _ in deploy.sources(load("honey_flow"), "pico_matrix")]
    assert "firmware/console" in names
    assert "boards/pico_matrix/beat" in names
    assert "firmware/games/honey_flow/game" in names
    assert not [name for name in names if "/host/" in name or name.endswith("/check") or "kit_room" in name]
    assert len(names) == len(set(names))


def test_an_unknown_board_is_refused() -> None:
    with pytest.raises(UsageError, match="no board 'pico'"):
        list(deploy.sources(load("honey_flow"), "pico"))


def test_board_files_compile_for_the_chip_and_the_same_way_twice(tmp_path: Path) -> None:
    for path in sorted((deploy.BOARDS / "pico_matrix").glob("*.py")):
        one = deploy.compiled(path, "boards/x", "armv6m", tmp_path / "out.mpy")
        assert one == deploy.compiled(path, "boards/x", "armv6m", tmp_path / "out.mpy")
        assert one[:1] == b"M"


def test_what_does_not_compile_is_one_sentence(tmp_path: Path) -> None:
    bad = tmp_path / "bad.py"
    bad.write_text("def f(:\n")
    with pytest.raises(GameError, match="SyntaxError"):
        deploy.compiled(bad, "bad", "armv6m", tmp_path / "out.mpy")


def test_the_identity_follows_paths_lengths_and_bytes() -> None:
    made = {"/main.py": b"x", "/lib/a.mpy": b"yz"}
    text = b"n" + b"/lib/a.mpy\0" + b"\2\0\0\0yz" + b"/main.py\0" + b"\1\0\0\0x"
    assert deploy.identity(b"n", made) == hashlib.sha256(text).digest()
    assert deploy.identity(b"n", {**made, "/lib/a.mpy": b"yy"}) != deploy.identity(b"n", made)
