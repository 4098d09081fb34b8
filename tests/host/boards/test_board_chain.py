"""Lamps on a chain: the words for the LEDs, and no frame before the last one has ended."""

import importlib
import sys
import time
from types import SimpleNamespace
from typing import Any

import pytest

from firmware.devices import chain as plain

LAMPS = (("a", "red", 0, 1), ("b", "amber", 0, 2), ("c", "blue", 0, 40))


class Dma:
    """rp2.DMA: counts what is sent."""

    def __init__(self) -> None:
        self.sent: list[int] = []

    def pack_ctrl(self, **_fields: Any) -> int:
        return 0

    def config(self, *, count: int, trigger: bool, **_rest: Any) -> None:
        assert trigger
        self.sent.append(count)


@pytest.fixture
def made(chip: Any, monkeypatch: pytest.MonkeyPatch) -> Any:
    rp2: Any = sys.modules["rp2"]
    rp2.DMA = Dma
    rp2.PIO = SimpleNamespace(OUT_LOW=0)
    rp2.StateMachine = lambda *_given, **_named: SimpleNamespace(active=lambda _on: None)
    module = importlib.import_module("boards.pico_matrix.chain")
    monkeypatch.setattr(module, "assembled", lambda *_given, **_named: None)
    monkeypatch.setattr(
        time, "sleep_ms", lambda ms: setattr(chip, "clock_ms", chip.clock_ms + ms), raising=False
    )
    chip.clock_ms = 1000
    return module.Chain(plain.words(SimpleNamespace(LAMPS=LAMPS)))


def frame(chain: Any) -> list[int]:
    return [int(word) for word in chain._frame]


def test_each_led_gets_its_colour_while_its_pattern_is_lit(made: Any) -> None:
    made._frame = [0] * 40
    patterns = bytearray(64)
    patterns[0], patterns[1], patterns[39] = 1, 2, 1
    assert made.show(patterns, 0b011)
    assert made._dma.sent == [40]
    assert frame(made)[:2] == [48 << 16, 0]
    assert frame(made)[39] == 48 << 8
    assert sum(bool(word) for word in frame(made)) == 2


def test_a_frame_waits_until_the_one_before_has_ended_and_the_line_was_low(made: Any, chip: Any) -> None:
    made._frame = [0] * 40
    patterns = bytearray(64)
    assert made.show(patterns, 3)
    chip.clock_ms += 3  # 40 LEDs take 1.2 ms, the end 0.3 ms
    assert not made.show(patterns, 3)
    chip.clock_ms += 1
    assert made.show(patterns, 3)


def test_dark_is_sent_whole_before_it_returns(made: Any, chip: Any) -> None:
    made._frame = [1] * 40
    began = chip.clock_ms
    made.dark(bytearray([1] * 64))
    assert frame(made) == [0] * 40
    assert chip.clock_ms - began == 8


def test_the_tables_of_a_chained_machine_have_its_colours(monkeypatch: pytest.MonkeyPatch) -> None:
    from boards.pico_matrix import board_tables
    from firmware.games.honey_flow import wiring

    assert board_tables.board_tables(wiring)[6] == b""
    monkeypatch.setattr(wiring, "LAMPS", LAMPS)
    told = board_tables.board_tables(wiring)
    assert told[2] == bytes([0, 1, 39])
    assert len(told[6]) == 120
