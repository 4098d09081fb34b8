"""Displays and lamps of the board: what goes out in a turn of the main loop."""

import importlib
from types import SimpleNamespace
from typing import Any

import pytest

from firmware.devices.digits import segments as digits
from firmware.devices.segments import segments
from firmware.play.claims import FAST, ON

CELLS = 16


class Pair:
    """The displays' I2C: what each chip was told last, and each write's chip."""

    def __init__(self, absent: tuple[int, ...] = ()) -> None:
        self.absent = absent
        self.told: dict[int, bytes] = {}
        self.writes: list[int] = []

    def writeto(self, chip: int, data: bytes) -> None:
        if chip in self.absent:
            raise OSError("no answer")
        if len(data) == 17:
            self.told[chip] = bytes(data)
            self.writes.append(chip - 0x70)

    def line(self, line: int) -> list[int]:
        """The segments that a line shows."""
        data = self.told[0x70 + 2 * line][1:] + self.told[0x71 + 2 * line][1:]
        return [data[i] | data[i + 1] << 8 for i in range(0, 2 * CELLS, 2)]


def made(chip: Any, pair: Pair, monkeypatch: pytest.MonkeyPatch) -> Any:
    import machine  # the chip fixture's

    for name in ("I2C", "UART", "ADC"):
        monkeypatch.setattr(machine, name, lambda *_, **__: pair, raising=False)
    shows = importlib.import_module("boards.pico_matrix.slow_outputs").SlowOutputs(bytes(range(64)))
    shows.at_frame = [0] * 8
    for now in range(4):
        shows.turn(now)
    pair.writes.clear()
    return shows


def chunk(text: str) -> int:
    """The value of a TEXT record."""
    return sum(ord(char) << 9 * i for i, char in enumerate(text))


def write(shows: Any, line: int, text: str) -> None:
    for part in range(6):
        shows.text(line * 8 + part, chunk(text[part * 3 : part * 3 + 3]))


def test_a_turn_writes_one_line_whole_and_the_next_the_other(
    chip: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    pair = Pair()
    shows = made(chip, pair, monkeypatch)
    write(shows, 0, "  1,230     4560".replace(",", "2"))
    write(shows, 1, "PLAYER 1  BALL 2")
    shows.turn(1)
    first = set(pair.writes)
    shows.turn(1)
    assert (first, pair.writes[2:]) in (({0, 1}, [2, 3]), ({2, 3}, [0, 1]))
    assert pair.line(1) == [segments(ord(char)) for char in "PLAYER 1  BALL 2"]
    shows.turn(1)
    assert len(pair.writes) == 4


def test_points_and_commas_are_shown(chip: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    pair = Pair()
    shows = made(chip, pair, monkeypatch)
    cells = [ord("7") + 128, ord("8") + 256, ord("9")]
    shows.text(5, cells[0])
    shows.text(0, sum(cell << 9 * i for i, cell in enumerate(cells)))
    shows.turn(1)
    assert pair.line(0)[:3] == [segments(cell) for cell in cells]
    assert pair.line(0)[15] == segments(cells[0])


def test_a_chip_whose_cells_are_the_same_is_not_written(chip: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    pair = Pair()
    shows = made(chip, pair, monkeypatch)
    write(shows, 0, "        12345678")
    shows.turn(1)
    assert pair.writes == [1]  # the other half of the line was blank and is
    shows.text(2, chunk("  9"))  # cells 6 and 7 are the first chip's, cell 8 the second's
    shows.turn(1)
    assert pair.writes == [1, 1]


def test_lamps_that_change_in_every_turn_do_not_keep_the_displays(
    chip: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    pair = Pair()
    shows = made(chip, pair, monkeypatch)
    for turn in range(20):
        shows.lamp(3, ON if turn % 2 else FAST)
        write(shows, 0, f"{turn:16}")
        write(shows, 1, f"{turn:<16}")
        shows.turn(turn)
        shows.turn(turn)
        assert pair.line(0) == [segments(ord(char)) for char in f"{turn:16}"]
        assert pair.line(1) == [segments(ord(char)) for char in f"{turn:<16}"]


def test_a_chip_that_does_not_answer_is_left_alone_and_the_others_go_on(
    chip: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    pair = Pair(absent=(0x72,))
    shows = made(chip, pair, monkeypatch)
    write(shows, 0, "ABCDEFGHIJKLMNOP")
    write(shows, 1, "ABCDEFGHIJKLMNOP")
    for now in range(4):
        shows.turn(now)
    assert set(pair.writes) == {0, 1, 3}
    assert shows.unanswered > 0


def test_a_chain_that_is_not_done_keeps_no_display(chip: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    pair = Pair()
    shows = made(chip, pair, monkeypatch)
    shows.chain = SimpleNamespace(show=lambda _patterns, _lit: False)
    shows.lamp(0, ON)
    write(shows, 0, "0123456789ABCDEF")
    shows.turn(600)
    assert pair.writes == [0, 1]


SIZES = bytes((7, 7, 7, 7, 2))


def numbers(chip: Any, pair: Pair, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Displays of digits, awake and dark."""
    import machine  # the chip fixture's

    for name in ("I2C", "UART"):
        monkeypatch.setattr(machine, name, lambda *_, **__: pair, raising=False)
    shows = importlib.import_module("boards.pico_matrix.number_outputs").NumberOutputs(
        bytes(range(64)), SIZES
    )
    shows.at_frame = [0] * 8
    for now in range(len(SIZES)):
        shows.turn(now)
    assert sorted(pair.writes) == [0, 1, 2, 3, 4]
    pair.writes.clear()
    return shows


def test_each_display_of_digits_is_a_chip_and_a_turn_writes_one(
    chip: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    pair = Pair()
    shows = numbers(chip, pair, monkeypatch)
    for part, text in enumerate(("  1", "230", "0")):
        shows.text(3 * 8 + part, chunk(text) | (256 << 18 if text == "  1" else 0))
    shows.text(4 * 8, chunk("07"))
    shows.turn(1)
    shows.turn(1)
    assert sorted(pair.writes) == [3, 4]
    shown = list(pair.told[0x73][1::2])
    assert shown == [0, 0, digits(ord("1") | 256), *(digits(ord(char)) for char in "2300"), 0]
    assert list(pair.told[0x74][1:5:2]) == [digits(ord("0")), digits(ord("7"))]
    assert set(pair.told[0x73][2::2]) == {0}
    shows.turn(1)
    assert len(pair.writes) == 2


def test_a_display_of_digits_that_does_not_answer_is_left_alone(
    chip: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    pair = Pair()
    shows = numbers(chip, pair, monkeypatch)
    pair.absent = (0x71,)
    for display in range(3):
        shows.text(display * 8, chunk("123"))
    for now in range(6):
        shows.turn(now)
    assert sorted(pair.writes) == [0, 2]
    assert shows.unanswered == 1


def test_text_for_displays_that_are_not_there_is_dropped(chip: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    pair = Pair()
    shows = numbers(chip, pair, monkeypatch)
    shows.text(4 * 8 + 1, chunk("888"))
    shows.text(5 * 8, chunk("888"))
    shows.text(0 * 8 + 5, chunk("8"))
    shows.turn(1)
    assert pair.writes == []
