"""From the image's start to the main loop: which game plays."""

import sys
from types import SimpleNamespace

import pytest

from boards.pico_matrix import slots, start


@pytest.fixture
def played(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, int]]:
    found: list[tuple[str, int]] = []
    main = SimpleNamespace(main=lambda package, slot: found.append((package, slot)))
    monkeypatch.setitem(sys.modules, "boards.pico_matrix.main", main)
    monkeypatch.setattr("gc.threshold", lambda _bytes: None, raising=False)
    monkeypatch.setattr(sys, "path", list(sys.path))
    return found


def test_without_a_game_on_trial_the_image_plays_its_own(
    played: list[tuple[str, int]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(slots, "used", lambda: -1)
    start.start("firmware.games.some")
    assert played == [("firmware.games.some", -1)]
    assert sys.path == [".frozen"]


def test_a_game_on_trial_plays_instead(
    played: list[tuple[str, int]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(slots, "used", lambda: 1)
    monkeypatch.setattr(slots, "mount", lambda slot: f"trial_{slot}")
    start.start("firmware.games.some")
    assert played == [("trial_1", 1)]


def test_a_game_on_trial_that_cannot_be_read_leaves_the_images_own(
    played: list[tuple[str, int]], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(_slot: int) -> str:
        raise OSError(22)

    monkeypatch.setattr(slots, "used", lambda: 0)
    monkeypatch.setattr(slots, "mount", broken)
    start.start("firmware.games.some")
    assert played == [("firmware.games.some", -1)]
    assert "the game on trial cannot be used" in capsys.readouterr().out
