"""The plain twin against the slow, obvious board; the viper files repeat the twin's constants."""

import re
from pathlib import Path

import pytest

import boards.pico_matrix
from boards.pico_matrix import pins
from firmware.devices import cells, core, scan, senses
from hil.slow_board import SlowBoard, compare

BOARD = Path(boards.pico_matrix.__path__[0])
WORDS = ("TOO_LONG", "RESTING", "HOT", "SUPPLY", "STORM", "RESTED_ON")
REASONS = {name: getattr(core, name) for name in WORDS}


def test_the_twin_does_what_the_slow_board_does() -> None:
    """60,000 random samples here; `inlane measure reliability 8` runs the full count."""
    met: set[str] = set()
    for seed in (1, 3, 100):
        counts, difference = compare(20_000, seed)
        assert difference == ""
        met |= set(counts)
    assert {"edges", "fired", "ended early"} <= met
    assert {f"refused for {reason}" for reason in REASONS.values()} <= met


def test_a_slow_board_that_forgets_a_resting_ball_differs(monkeypatch: pytest.MonkeyPatch) -> None:
    """The control: a planted fault makes the comparison fail."""
    monkeypatch.setattr(SlowBoard, "again", lambda _self, kick: setattr(kick, "wait", -1))
    monkeypatch.setattr(cells, "REARM_MS", 6)
    assert compare(20_000, 100)[1]


def constants(file: str) -> dict[str, int]:
    text = (BOARD / file).read_text()
    found = re.findall(r"^_([A-Z_0-9]+) = const\((-?\w+)\)", text, re.M)
    return {name: int(value, 0) for name, value in found}


def test_viper_reflexes_use_the_twin_s_numbers() -> None:
    for name, value in constants("reflex.py").items():
        if name.startswith("WHY_"):
            assert value == REASONS[name.removeprefix("WHY_")], name
        elif name != "MASK":
            assert value == getattr(cells, name), name


def test_the_viper_scan_uses_the_twin_s_numbers() -> None:
    for name, value in constants("scanning.py").items():
        if name != "MASK":
            assert value == getattr(scan, name), name


def test_the_viper_senses_use_the_twin_s_numbers() -> None:
    for name, value in constants("sensing.py").items():
        assert value == getattr(senses, name), name


def test_the_callback_s_numbers_are_those_of_the_board() -> None:
    text = (BOARD / "beat.py").read_text()
    plain = {name: int(value) for name, value in re.findall(r"^([A-Z_]+) = (\d+)\b", text, re.M)}
    for name, value in constants("beat.py").items():
        if name in plain and name != "STUCK_ON":
            assert value == plain[name], name
    shifts = dict(re.findall(r"^_([A-Z_]+) = const\(1 << (\d+)\)$", text, re.M))
    assert int(shifts["LATCH"]) == pins.DRIVE_LATCH
    assert int(shifts["FEED"]) == pins.GUARD_FEED
    assert int(shifts["SUPPLY_FEED"]) == pins.SUPPLY_FEED
    assert int(shifts["GUARD_STATE"]) == pins.GUARD_STATE
    assert int(shifts["INTERLOCK"]) == pins.INTERLOCK
    said = constants("beat.py")
    assert (said["DRIVEN"], said["LEASE_END"]) == (cells.DRIVEN, cells.LEASE_END)
    assert (said["WITHHELD"], said["BLOCKED"]) == (senses.WITHHELD, senses.BLOCKED)
    assert (said["LOCKED_ON"], said["NO_FEED"]) == (senses.LOCKED_ON, senses.DOOR | senses.LOGIC)


def test_only_the_callback_s_last_step_feeds_the_guard() -> None:
    found = []
    for path in sorted(BOARD.glob("*.py")):
        if path.name != "pins.py":
            lines = path.read_text().splitlines()
            found += [line.strip() for line in lines if re.search(r"\b_FEED\b|GUARD_FEED\b", line)]
    assert found == ["_FEED = const(1 << 11)", "sio[7] = _FEED"]
