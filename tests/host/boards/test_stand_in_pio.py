"""The stand-in's PIO programs, assembled and stepped against models of its shift registers and column wires.

Assembler: PyPI adafruit-circuitpython-pioasm. Stepper: PyPI rp2040-pio-emulator.
"""

import itertools
from collections import deque
from dataclasses import replace

import pytest

from boards.stand_in import pins, programs

adafruit_pioasm = pytest.importorskip("adafruit_pioasm")
pioemu = pytest.importorskip("pioemu")

SOURCES: list[tuple[str, tuple[int, ...], int]] = [
    (programs.COLUMNS, programs.COLUMNS_WORDS, programs.COLUMNS_WRAP),
    (programs.ROWS, programs.ROWS_WORDS, programs.ROWS_WRAP),
    (programs.SAMPLE, programs.SAMPLE_WORDS, programs.SAMPLE_WRAP),
]


@pytest.mark.parametrize(("source", "words", "wrap"), SOURCES)
def test_the_words_are_what_the_source_assembles_to(source: str, words: tuple[int, ...], wrap: int) -> None:
    program = adafruit_pioasm.Program(source)
    assert list(program.assembled) == list(words)
    assert program.pio_kwargs["wrap"] == wrap


def test_the_three_programs_fit_into_one_block_of_instructions() -> None:
    assert sum(len(words) for _, words, _ in SOURCES) <= 32


class Registers:
    """Five 74HC165 in a row; `held` is what their inputs show, first bit out at the top."""

    def __init__(self, held: int) -> None:
        self.held = held
        self.loads: list[int] = []
        self._chain = 0
        self._before = 0

    def see(self, clock: int, levels: int) -> int:
        rose = levels & ~self._before
        if not levels >> pins.SAMPLE_LOAD & 1:
            self._chain = self.held
            if self._before >> pins.SAMPLE_LOAD & 1:
                self.loads.append(clock)
        elif rose >> pins.SAMPLE_CLOCK & 1:
            self._chain = self._chain << 1 & (1 << pins.SAMPLE) - 1
        self._before = levels
        return self._chain >> pins.SAMPLE - 1 & 1


def sampled(model: Registers, cycles: int) -> tuple[list[int], list[tuple[int, int]]]:
    words: list[int] = []
    changes = []

    def levels(now: pioemu.State) -> int:
        return model.see(now.clock, now.pin_values)

    for before, after in pioemu.emulate(
        list(programs.SAMPLE_WORDS),
        stop_when=lambda _opcode, now: now.clock >= cycles,
        initial_state=pioemu.State(pin_directions=3 << pins.SAMPLE_CLOCK),
        input_source=levels,
        shift_isr_right=False,
        side_set_base=pins.SAMPLE_CLOCK,
        side_set_count=2,
        wrap_top=programs.SAMPLE_WRAP,
    ):
        if after.pin_values != before.pin_values:
            changes.append((before.clock, after.pin_values))
        while after.receive_fifo:
            words.append(after.receive_fifo.popleft())
    return words, changes


@pytest.mark.parametrize("held", [0, (1 << pins.SAMPLE) - 1, 0x8000000001, 0x123456789A])
def test_a_sample_is_drives_then_lamps(held: int) -> None:
    words, _ = sampled(Registers(held), 3 * programs.SAMPLE_CYCLES)
    pairs = [(one & 0xFFFFFF, two & 0xFFFF) for one, two in zip(words[::2], words[1::2], strict=False)]
    assert pairs == [(held >> 16, held & 0xFFFF)] * 3


def test_samples_follow_each_other_by_250_microseconds() -> None:
    model = Registers(0)
    _, changes = sampled(model, 4 * programs.SAMPLE_CYCLES)
    assert {b - a for a, b in itertools.pairwise(model.loads)} == {programs.SAMPLE_CYCLES}
    assert programs.SAMPLE_CYCLES * 1_000_000 == 250 * programs.SAMPLE_HZ
    rises = [
        now[0] for before, now in itertools.pairwise(changes) if now[1] & ~before[1] & 1 << pins.SAMPLE_CLOCK
    ]
    assert min(b - a for a, b in itertools.pairwise(rises)) * 2_000_000 >= programs.SAMPLE_HZ


TABLE = 0x20012300


def addresses(levels: list[int]) -> list[int]:
    """The addresses that the column program makes while the eight wires show these levels in turn."""
    found: list[int] = []
    state = replace(pioemu.State(), y_register=TABLE >> 8)

    def wires(now: pioemu.State) -> int:
        return levels[min(now.clock // programs.COLUMNS_CYCLES, len(levels) - 1)]

    for _, after in pioemu.emulate(
        list(programs.COLUMNS_WORDS),
        stop_when=lambda _opcode, now: now.clock >= len(levels) * programs.COLUMNS_CYCLES,
        initial_state=state,
        input_source=wires,
        shift_isr_right=False,
        wrap_top=programs.COLUMNS_WRAP,
    ):
        while after.receive_fifo:
            found.append(after.receive_fifo.popleft())
    return found


def test_column_wires_are_the_lowest_byte_of_an_address_in_the_table() -> None:
    levels = [255, 254, 253, 127, 0, 170]
    assert addresses(levels) == [TABLE + level for level in levels]


def test_a_byte_of_the_table_shows_on_the_rows_whichever_way_the_chip_repeats_it() -> None:
    words = [byte * 0x01010101 for byte in (0, 1, 128, 90)]
    shown = []
    for right in (False, True):
        state = replace(pioemu.State(pin_directions=0xFF << pins.ROWS_AT), transmit_fifo=deque(words))
        for _, after in pioemu.emulate(
            list(programs.ROWS_WORDS),
            stop_when=lambda _opcode, now: now.clock >= 8,
            initial_state=state,
            shift_osr_right=right,
            out_base=pins.ROWS_AT,
            out_count=8,
            wrap_top=programs.ROWS_WRAP,
        ):
            if not after.clock % 2:
                shown.append(after.pin_values >> pins.ROWS_AT & 0xFF)
    assert shown == [0, 1, 128, 90] * 2


def test_no_two_uses_of_the_stand_in_share_a_pin() -> None:
    taken = [first + i for _, first, count, *_ in pins.PINS for i in range(count)]
    assert len(taken) == len(set(taken))
    assert max(taken) <= 28
    assert not {23, 24, 25} & set(taken)
