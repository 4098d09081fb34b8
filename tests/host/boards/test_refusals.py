"""What the board refuses, one sentence each; and that Honey Flow is not refused."""

from types import SimpleNamespace
from typing import Any

import pytest

from boards.pico_matrix import check, pins
from firmware.base.errors import UsageError
from hil.checks import board as board_checks
from hil.games import load

COIL = ("kick", "snap", 20, 30, 60, 1)


def wiring(*coils: tuple[Any, ...], **more: Any) -> SimpleNamespace:
    return SimpleNamespace(COILS=coils, LAMPS=(), **more)


def moved(name: str, **changes: Any) -> tuple[tuple[Any, ...], ...]:
    """The pin table with one row changed: gpio or owner."""
    return tuple(
        (row[0], changes.get("gpio", row[1]), row[2], changes.get("owner", row[3]), row[4], row[5])
        if row[0] == name
        else row
        for row in pins.PINS
    )


def test_every_gpio_of_a_pico_is_given_out_once() -> None:
    assert sorted(row[1] for row in pins.PINS) == [*range(23), 26, 27, 28]
    assert check.check_board() == []


def test_honey_flow_is_not_refused() -> None:
    assert board_checks.check("pico_matrix", load("honey_flow").wiring) == []


def test_a_board_without_its_guard_is_refused() -> None:
    table = tuple(row for row in pins.PINS if row[0] != "guard_feed")
    assert len(check.check_board(table)) == 1
    assert "no 'guard_feed'" in check.check_board(table)[0]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"owner": "pio0"}, "driven by pio0"),
        ({"owner": "pwm5"}, "driven by pwm5"),
        ({"gpio": 30}, "not brought out"),
        ({"gpio": 10}, "GPIO 10 is given to both"),
    ],
)
def test_a_guard_pin_that_something_else_could_drive_is_refused(changes: dict[str, Any], words: str) -> None:
    assert any(words in line for line in check.check_board(moved("guard_feed", **changes)))


@pytest.mark.parametrize(("gpio", "words"), [(14, "PWM slice"), (19, "spi0"), (3, "between outputs of pio0")])
def test_a_guard_pin_in_reach_of_a_used_peripheral_is_refused(gpio: int, words: str) -> None:
    table = tuple(row for row in moved("guard_feed", gpio=gpio) if row[1] != gpio or row[0] == "guard_feed")
    assert any(words in line for line in check.check_board((*table, ("x", 15, "out", "pwm7", 0, ""))))


@pytest.mark.parametrize(
    ("game", "words"),
    [
        (wiring(COIL, ("push", "snap", 20, 30, 60, 1)), "'kick' and 'push' are both on drive 1"),
        (wiring((*COIL[:5], 27)), "on drive 27; this board has drives 1 to 26"),
        (wiring((*COIL[:5], 25)), "held by PWM; 1 to 24 take pulses"),
    ],
)
def test_a_wiring_that_the_board_cannot_do_is_refused(game: SimpleNamespace, words: str) -> None:
    lines = check.check_game(game)
    assert len(lines) == 1
    assert words in lines[0]


def test_an_unknown_board_is_a_usage_error() -> None:
    with pytest.raises(UsageError, match="there is no board 'pico'"):
        board_checks.check("pico", wiring(COIL))


@pytest.mark.parametrize(
    ("lamps", "words"),
    [
        ((("a", "red", 0, 5), ("b", "red", 0, 5)), "lamps 'a' and 'b' are both at chain 5"),
        ((("a", "red", 0, 5), ("b", "red", 1, 1)), "this board has one of them"),
        ((("a", "red", 0, 65),), "a chain has places 1 to 64"),
    ],
)
def test_a_chain_that_cannot_be_is_refused(lamps: tuple[Any, ...], words: str) -> None:
    lines = check.check_game(SimpleNamespace(COILS=(COIL,), LAMPS=lamps))
    assert len(lines) == 1
    assert words in lines[0]
