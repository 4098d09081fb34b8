"""Three starts within a minute keep the coil supply off and say so; the watchdog."""

import importlib
from array import array
from types import SimpleNamespace
from typing import Any

import pytest

from boards.pico_matrix import pins

WATCHDOG = 0x40058000
ENABLE = 1 << 30
MINUTE = 60_000


class Life:
    """Starts of one board: the scratch registers outlast a reset, and nothing outlasts a power cut."""

    def __init__(self, chip: Any) -> None:
        self.chip = chip
        self.starts = importlib.import_module("boards.pico_matrix.starts")

    def start(self, ms: int) -> bool:
        """One start that lasts for so long, reported as the main loop does; whether it was refused."""
        locked = self.starts.note()
        for up in range(0, ms + 1, 500):
            self.starts.lasting(up)
        assert isinstance(locked, bool)
        return locked

    def power_cut(self) -> None:
        self.chip.words.clear()


@pytest.mark.parametrize(
    ("lasted", "locked"),
    [
        ((5000, 5000, 5000), [False, False, True]),
        ((29_500, 30_000, 0), [False, False, True]),
        ((30_000, 30_000, 0), [False, False, False]),
        ((0, 0, 0, 0, 0), [False, False, True, True, True]),
        ((0, 0, MINUTE, 0), [False, False, True, False]),
        ((5000, MINUTE, 5000, 5000, 0), [False, False, False, False, True]),
        ((10 * MINUTE, 0, 0), [False, False, False]),
        ((10 * MINUTE, 0, 0, 0), [False, False, False, True]),
    ],
)
def test_the_third_start_within_a_minute_is_locked(
    chip: Any, lasted: tuple[int, ...], locked: list[bool]
) -> None:
    life = Life(chip)
    assert [life.start(ms) for ms in lasted] == locked


def test_a_power_cut_forgets(chip: Any) -> None:
    life = Life(chip)
    assert [life.start(1000) for _ in range(3)][-1]
    life.power_cut()
    assert not life.start(1000)
    assert not life.start(1000)
    assert life.start(1000)


def test_the_watchdog_is_loaded_before_it_is_let_loose_and_tied_up_for_a_host(chip: Any) -> None:
    order = []
    chip.writes[WATCHDOG + 4] = lambda value: order.append(("load", value))
    chip.writes[WATCHDOG + 0x2000] = lambda value: order.append(("set", value))
    chip.writes[WATCHDOG + 0x3000] = lambda value: order.append(("clear", value))
    starts = importlib.import_module("boards.pico_matrix.starts")
    starts.watch(True)
    starts.watch(False)
    assert order == [("load", 0xFFFFFF), ("set", ENABLE), ("clear", ENABLE)]


def test_a_refused_machine_enables_nothing_and_tells_the_operator(chip: Any) -> None:
    main = importlib.import_module("boards.pico_matrix.main")
    isr = importlib.import_module("boards.pico_matrix.isr")
    planted = ("firmware_changed", 0, "its sum is another")
    for refusals in ([main.starts.REFUSAL], [planted], []):
        told: list[Any] = []
        cells = array("i", [0] * isr.CELLS)
        hardware = SimpleNamespace(
            cells=cells,
            limiter=None,
            fresh=lambda: None,
            fault=lambda: "",
            alive=lambda: None,
            off=lambda: None,
            now=lambda: 0,
            shows=SimpleNamespace(i2c=None),
        )
        console = SimpleNamespace(
            play=SimpleNamespace(faults=SimpleNamespace(report=lambda *fault, told=told: told.append(fault))),
            pad=SimpleNamespace(tell=lambda *lines, told=told: told.append(lines)),
        )
        machine = object.__new__(main.PicoMachine)
        machine.name = "some_game"
        machine.hardware = hardware
        machine.refusals = refusals
        machine.console = lambda *_given, console=console: console
        main.BoardKept = lambda *_given: None
        alone = main.Alone(machine)
        assert alone.board.reason == (refusals[0][2] if refusals else "")
        assert (cells[isr.ENABLED], cells[isr.SUPPLY_ON]) == ((0, 0) if refusals else (1, 1))
        line = refusals[0][0].replace("_", " ").upper().encode() if refusals else b""
        assert told == ([refusals[0][:2], (b"COILS STAY OFF", line)] if refusals else [])


def test_importing_the_board_puts_every_output_to_its_safe_level(chip: Any) -> None:
    importlib.import_module("boards.pico_matrix.board")
    for name, gpio, direction, _owner, level, _what in pins.PINS:
        if direction == "out":
            assert chip.pins[gpio] == (1, -1, level), name
        elif direction == "in":
            assert chip.pins[gpio] == (0, -1, -1), name
