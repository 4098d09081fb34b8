"""The PIO programs, assembled and stepped cycle by cycle against models of the chips around them.

Assembler: PyPI adafruit-circuitpython-pioasm. Stepper: PyPI rp2040-pio-emulator.
"""

import itertools
from collections import deque
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from boards.pico_matrix import pins, programs

adafruit_pioasm = pytest.importorskip("adafruit_pioasm")
pioemu = pytest.importorskip("pioemu")

SETTLE = 50  # cycles that a row of the modelled matrix takes to follow its column: 12.5 µs
SCAN_US = 320
SETTLE_US = 17.5


class Switches:
    """Column register (both clocks tied), matrix with slow rows, and five 74HC165."""

    def __init__(self, closed: set[tuple[int, int]], others: int = 0, settle: int = SETTLE) -> None:
        self.closed = closed
        self.others = others
        self.settle = settle
        self.stages = 0xA5  # whatever the register held at power-up
        self.outputs = 0x5A
        self.changed = 0
        self.rows = 0
        self.chain = 0
        self.shown: list[int] = []
        self._before = 0

    def see(self, clock: int, levels: int) -> int:
        """Follow the pins to `levels`; the level of the data line."""
        rose = levels & ~self._before
        if rose >> pins.COLUMN_CLOCK & 1:
            self.outputs = self.stages
            self.stages = (self.stages << 1 | levels >> pins.COLUMN_DATA & 1) & 0xFF
            self.changed = clock
            self.shown.append(self.outputs)
        if clock - self.changed > self.settle:
            self.rows = self._read()
        if not levels >> pins.SWITCH_LOAD & 1:
            self.chain = self.rows << 32 | self.others
        elif rose >> pins.SWITCH_CLOCK & 1:
            self.chain = self.chain << 1 & (1 << pins.FRAME) - 1
        self._before = levels
        return self.chain >> pins.FRAME - 1 & 1  # as GPIO 0: the stepper has no base for inputs

    def _read(self) -> int:
        rows = 0
        for column, row in self.closed:
            if self.outputs >> column - 1 & 1:
                rows |= 1 << row - 1
        return rows


def scan(model: Switches, cycles: int) -> tuple[list[int], list[tuple[int, int]]]:
    """Words pushed and (cycle, levels) of every change, as the chip's DMA would see them."""
    words: list[int] = []
    changes = []
    out = 1 << pins.SWITCH_CLOCK | 1 << pins.SWITCH_LOAD | 1 << pins.COLUMN_CLOCK | 1 << pins.COLUMN_DATA
    state = pioemu.State(pin_directions=out)

    def pin_levels(now: pioemu.State) -> int:
        return model.see(now.clock, now.pin_values)

    for before, after in pioemu.emulate(
        list(programs.SCAN_WORDS),
        stop_when=lambda _opcode, now: now.clock >= cycles,
        initial_state=state,
        input_source=pin_levels,
        auto_push=True,
        push_threshold=24,
        shift_isr_right=False,
        set_base=pins.COLUMN_CLOCK,
        set_count=2,
        side_set_base=pins.SWITCH_CLOCK,
        side_set_count=2,
        wrap_top=programs.SCAN_WRAP,
    ):
        if after.pin_values != before.pin_values:
            changes.append((before.clock, after.pin_values))
        while after.receive_fifo:
            words.append(after.receive_fifo.popleft())
    return words, changes


def frames(words: list[int]) -> list[tuple[int, int]]:
    """(column, frame) for each pair of words."""
    found = []
    for first, second in zip(words[::2], words[1::2], strict=False):
        assert first >> 20 & 1 == 0
        assert second >> 20 & 1 == 1
        assert first >> 21 == second >> 21
        found.append((8 - (first >> 21), (first & 0xFFFFF) << 20 | second & 0xFFFFF))
    return found


SOURCES: list[tuple[str, tuple[int, ...], int]] = [
    (programs.SCAN, programs.SCAN_WORDS, programs.SCAN_WRAP),
    (programs.LAMPS, programs.LAMPS_WORDS, programs.LAMPS_WRAP),
    (programs.CHAIN, programs.CHAIN_WORDS, programs.CHAIN_WRAP),
]


@pytest.mark.parametrize(("source", "words", "wrap"), SOURCES)
def test_the_words_are_what_the_source_assembles_to(source: str, words: tuple[int, ...], wrap: int) -> None:
    program = adafruit_pioasm.Program(source)
    assert list(program.assembled) == list(words)
    assert program.pio_kwargs["wrap"] == wrap
    assert program.pio_kwargs["wrap_target"] == 0
    assert len(words) <= 32


def test_a_scan_takes_a_third_of_a_millisecond_and_names_its_columns() -> None:
    words, changes = scan(Switches(set()), 8 * programs.SCAN_CYCLES * 4)
    assert [column for column, _ in frames(words)][:24] == [1, 2, 3, 4, 5, 6, 7, 8] * 3
    assert len(words) // programs.SCAN_SIZE == 4
    clocks = [clock for clock, rose in rises(changes) if rose >> pins.COLUMN_CLOCK & 1]
    assert {b - a for a, b in itertools.pairwise(clocks)} == {programs.SCAN_CYCLES}
    assert programs.SCAN_CYCLES * 8 * 1_000_000 == SCAN_US * programs.SCAN_HZ


def test_rows_have_their_settling_time_before_each_load_and_the_clock_is_within_what_the_chain_bears() -> (
    None
):
    _, changes = scan(Switches(set()), 8 * programs.SCAN_CYCLES * 4)
    selected = [clock for clock, rose in rises(changes) if rose >> pins.COLUMN_CLOCK & 1]
    falls = [
        now[0] for before, now in itertools.pairwise(changes) if before[1] & ~now[1] & 1 << pins.SWITCH_LOAD
    ]
    waits = {min(load - clock for load in falls if load > clock) for clock in selected[:-1]}
    assert waits == {programs.SCAN_SETTLE}
    assert programs.SCAN_SETTLE * 1_000_000 == SETTLE_US * programs.SCAN_HZ
    shifts = [clock for clock, rose in rises(changes) if rose >> pins.SWITCH_CLOCK & 1]
    assert min(b - a for a, b in itertools.pairwise(shifts)) * 2_000_000 >= programs.SCAN_HZ


def rises(changes: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """(cycle, pins that rose then)."""
    return [(now[0], now[1] & ~before[1]) for before, now in itertools.pairwise(changes)]


def test_one_column_is_on_at_a_time_once_the_register_is_flushed() -> None:
    model = Switches(set())
    scan(model, 8 * programs.SCAN_CYCLES * 4)
    settled = model.shown[16:]
    assert settled[:8] == [1 << i for i in range(8)]
    assert all(outputs.bit_count() == 1 for outputs in settled)


@pytest.mark.parametrize("column", range(1, 9))
def test_a_switch_shows_in_its_own_column_and_in_no_other(column: int) -> None:
    """No ghost column: rows follow 12.5 µs late, and still nothing leaks into the next column."""
    for row in (1, 4, 8):
        words, _ = scan(Switches({(column, row)}), 8 * programs.SCAN_CYCLES * 5)
        for at, (named, frame) in enumerate(frames(words)[16:]):
            assert frame == (1 << 32 + row - 1 if named == column else 0), (at, named, hex(frame))


def test_a_frame_holds_rows_then_direct_inputs_then_drains() -> None:
    direct, drains = 0x8421, 0x1248
    words, _ = scan(Switches(set(), direct << 16 | drains), 8 * programs.SCAN_CYCLES * 2)
    assert {frame for _, frame in frames(words)[8:]} == {direct << 16 | drains}


def test_slower_rows_than_promised_are_seen_by_this_test() -> None:
    """The control: rows that need longer than the program waits do leak, and the check above would fail."""
    model = Switches({(3, 1)}, settle=programs.SCAN_SETTLE + 10)
    words, _ = scan(model, 8 * programs.SCAN_CYCLES * 5)
    wrong = [named for named, frame in frames(words)[16:] if bool(frame) != (named == 3)]
    assert wrong


def strobe(data: list[int], cycles: int) -> Iterator[tuple[int, int, Any]]:
    """(cycle, levels, state) of the lamp program fed with `data`."""
    state = pioemu.State()
    fifo = deque(data[:4])
    rest = deque(data[4:])
    state = replace(state, transmit_fifo=fifo)
    for _, after in pioemu.emulate(
        list(programs.LAMPS_WORDS),
        stop_when=lambda _opcode, now: now.clock >= cycles,
        initial_state=state,
        shift_osr_right=False,
        out_base=pins.LAMP_DATA,
        out_count=1,
        side_set_base=pins.LAMP_CLOCK,
        side_set_count=3,
        wrap_top=programs.LAMPS_WRAP,
    ):
        while rest and len(after.transmit_fifo) < 4:
            after.transmit_fifo.append(rest.popleft())
        yield after.clock, after.pin_values, after


def shown(data: list[int], cycles: int) -> list[tuple[int, int, int]]:
    """(cycle, latched word, blank) at each change of what the lamps see, behind a 16-bit register."""
    stages = latched = before = 0
    found: list[tuple[int, int, int]] = []
    for clock, levels, _ in strobe(data, cycles):
        rose = levels & ~before
        if rose >> pins.LAMP_CLOCK & 1:
            stages = (stages << 1 | levels >> pins.LAMP_DATA & 1) & 0xFFFF
        if rose >> pins.LAMP_LATCH & 1:
            latched = stages
        before = levels
        blank = levels >> pins.LAMP_BLANK & 1
        if not found or found[-1][1:] != (latched, blank):
            found.append((clock, latched, blank))
    return found


def lamp_word(column: int, rows: int) -> int:
    return (1 << column + 7 | rows) << 16


def test_lamp_columns_follow_each_other_with_dark_between() -> None:
    data = [lamp_word(column, column * 3) for column in range(1, 9)]
    steps = shown(data, 8500)
    lit = [(clock, word) for clock, word, blank in steps if not blank and clock > 1]
    assert [word << 16 for _, word in lit] == data
    starts = [clock for clock, _ in lit]
    assert {b - a for a, b in itertools.pairwise(starts)} == {programs.LAMP_CYCLES}
    for (_, one, dark_one), (_, two, dark_two) in itertools.pairwise(steps):
        assert one == two or (dark_one and dark_two), "what is shown changed while it was lit"


def test_lamps_are_dark_for_20_to_50_microseconds_between_columns() -> None:
    steps = shown([lamp_word(column, 255) for column in range(1, 9)], 8500)
    dark = [clock for clock, _, blank in steps if blank]
    lit = [clock for clock, _, blank in steps if not blank and clock > 1]
    gaps = [on - max(off for off in dark if off < on and _went_dark(steps, off)) for on in lit[1:]]
    assert all(20 <= gap <= 50 for gap in gaps), gaps


def _went_dark(steps: list[tuple[int, int, int]], clock: int) -> bool:
    at = [c for c, _, _ in steps].index(clock)
    return at > 0 and not steps[at - 1][2]


def test_lamps_go_dark_when_the_data_stops() -> None:
    data = [lamp_word(1, 255), lamp_word(2, 255)]
    levels = [(clock, level) for clock, level, _ in strobe(data, 20_000)]
    tail = [level >> pins.LAMP_BLANK & 1 for clock, level in levels if clock > 2100]
    assert len(tail) > 1000
    assert all(tail)


NS = 1_000_000_000 // programs.CHAIN_HZ


def chained(words: list[int], cycles: int) -> list[tuple[int, int]]:
    """(level, nanoseconds) of the chain's data line, one stretch after the other."""
    state = replace(pioemu.State(), transmit_fifo=deque(words))
    found: list[tuple[int, int]] = []
    level, since, clock = 0, 0, 0
    for _, after in pioemu.emulate(
        list(programs.CHAIN_WORDS),
        stop_when=lambda _opcode, now: now.clock >= cycles,
        initial_state=state,
        auto_pull=True,
        pull_threshold=24,
        shift_osr_right=False,
        side_set_base=pins.LAMP_DATA,
        side_set_count=1,
        wrap_top=programs.CHAIN_WRAP,
    ):
        now = after.pin_values >> pins.LAMP_DATA & 1
        if now != level:
            found.append((level, (clock - since) * NS))
            level, since = now, clock
        clock = after.clock
    return [*found, (level, (clock - since) * NS)]


def test_a_chain_hears_its_bits_green_first_and_then_the_end() -> None:
    sent = [0x30A501 << 8, 0xFF0077 << 8, 0x000000 << 8]
    stretches = chained(sent, 3 * 24 * programs.CHAIN_CYCLES + 3000)
    high = [length for level, length in stretches if level]
    assert set(high) == {375, 750}
    bits = "".join("1" if length == 750 else "0" for length in high)
    assert [int(bits[i : i + 24], 2) << 8 for i in range(0, 72, 24)] == sent
    low = [length for level, length in stretches[1:-1] if not level]
    for up, down in zip(high, low, strict=False):
        assert up + down == programs.CHAIN_CYCLES * NS == 1250
    assert stretches[-1][0] == 0
    assert stretches[-1][1] > 300_000


@pytest.mark.parametrize(("word", "high", "low"), [(0, 400, 850), (0xFFFFFF << 8, 800, 450)])
def test_the_chain_s_times_lie_within_those_of_the_data_sheets(word: int, high: int, low: int) -> None:
    """A bit of nought and of one: nanoseconds, each within 150 (mem)."""
    stretches = chained([word], 24 * programs.CHAIN_CYCLES)[1:-2]
    assert len(stretches) > 40
    for level, length in stretches:
        assert abs(length - (high if level else low)) <= 150
