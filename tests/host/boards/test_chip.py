"""The two chips that the board's code knows: the same names for both, other numbers where they differ."""

import importlib
from typing import Any

import pytest
from board_bench import CHIPS, Registers

from boards.pico_matrix import rp2040, rp2350
from firmware.base import crash

TABLES = (rp2040, rp2350)


def numbers(table: Any) -> dict[str, int]:
    return {name: value for name, value in vars(table).items() if name.isupper()}


def test_both_chips_have_the_same_names_and_no_number_in_common() -> None:
    one, other = numbers(rp2040), numbers(rp2350)
    assert list(one) == list(other)
    assert {name for name in one if one[name] == other[name]} == set()


@pytest.mark.parametrize(("table", "name"), list(zip(TABLES, CHIPS, strict=True)))
def test_registers_lie_where_the_sdk_s_headers_have_them(table: Any, name: str) -> None:
    at = Registers(name)
    assert (at.spi, at.adc, at.watchdog) == (table.SPI0, table.ADC, table.WATCHDOG)
    assert (at.held, at.reset_choice) == (table.PWM + 0x98, table.RESET_CHOICE)
    assert (at.pin_set, at.pin_flip) == (table.GPIO_SET, table.GPIO_FLIP)
    assert table.GPIO_CLEAR - table.GPIO_SET == table.GPIO_FLIP - table.GPIO_CLEAR


@pytest.mark.parametrize("table", TABLES)
def test_the_watchdog_waits_for_8_seconds_on_both_within_its_24_bits(table: Any) -> None:
    counts_a_us = 2 if table is rp2040 else 1
    assert 8_000_000 < table.WATCHDOG_LOAD / counts_a_us < 8_400_000
    assert table.WATCHDOG_LOAD < 1 << 24


@pytest.mark.parametrize("chip", CHIPS, indirect=True)
def test_the_code_takes_the_numbers_of_the_chip_that_it_runs_on(chip: Any) -> None:
    found = importlib.import_module("boards.pico_matrix.chip").chip
    assert found.__name__ == "boards.pico_matrix." + chip.name.lower()
    asked = []
    place = importlib.import_module("boards.pico_matrix.crash")
    place.uctypes.bytearray_at = lambda address, size: asked.append((address, size))
    place.memory()
    assert asked == [(found.CRASH_RECORD, crash.SIZE)]
