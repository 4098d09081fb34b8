"""The sound box: its page's bytes are those that the board sends, its program plays them, its sheet."""

import importlib
import re
import sys
from pathlib import Path
from types import ModuleType, SimpleNamespace

import pytest
from typer.testing import CliRunner

import boards
from boards.pico_matrix import pins
from hil import games
from hil.command import app
from hil.electrical.circuit import values
from hil.electrical.circuit.sheets import circuit

PAGE = (Path(boards.__path__[0]) / "pico_matrix/sound_box.md").read_text(encoding="utf-8")


class Line:
    """A UART that keeps what is written, and how it was opened."""

    opened: "list[tuple[tuple, dict]]" = []

    def __init__(self, *given, **named):
        Line.opened.append((given, named))
        self.sent = b""

    def write(self, data):
        self.sent += bytes(data)

    def writeto(self, _chip, _data):
        pass


@pytest.fixture
def outputs(chip, monkeypatch):
    """The board's slow outputs, whose UART is a Line."""
    import machine  # the chip fixture's

    Line.opened = []
    for name in ("I2C", "UART", "ADC"):
        monkeypatch.setattr(machine, name, Line, raising=False)
    return importlib.import_module("boards.pico_matrix.slow_outputs")


def test_the_line_is_opened_as_the_page_says(outputs):
    outputs.SlowOutputs(bytes(64))
    ((unit, baud), _named) = next(row for row in Line.opened if len(row[0]) == 2)
    assert (unit, baud) == (0, 31_250)
    assert f"{baud:,} baud, 8 data bits, no parity, one stop bit" in PAGE
    assert f"{10 / baud * 1e3:.2f} ms" in PAGE
    assert f"`cue_tx` (GPIO {pins.CUE_TX}, J704 pin 1)" in PAGE
    assert f"`cue_rx` (GPIO {pins.CUE_RX}, J704 pin 2)" in PAGE


def test_a_cue_of_a_game_is_the_byte_of_its_number_on_the_sheet(outputs, tmp_path):
    shows = outputs.SlowOutputs(bytes(64))
    console = games.load("honey_flow").console()
    console.play.cues.attach(shows.cue)
    sheets = ["wiring", "honey_flow", "--out", str(tmp_path)]
    assert CliRunner().invoke(app, sheets, standalone_mode=False).return_value == 0
    table = (
        (tmp_path / "wiring.md")
        .read_text(encoding="utf-8")
        .partition("## Sound box")[2]
        .partition("\n## ")[0]
    )
    rows = re.findall(r"^\| (\d+) \| 0x([0-9A-F]{2}) \| (\S+) \|$", table, re.M)
    assert [name for _byte, _hex, name in rows] == list(console.cue_names)
    for _byte, _hex, name in rows:
        console.play.cues.cue(name).play()
    assert shows._uart.sent == bytes(int(byte) for byte, _hex, _name in rows)
    assert all(int(byte) == int(code, 16) for byte, code, _name in rows)


class Silent(Exception):
    """The line of a test has no more bytes."""


def test_the_page_s_program_plays_the_newest_byte_and_lets_the_one_before_go(monkeypatch):
    played, waiting = [], [b"\x01\x00", None, b"\x05", b"\x00"]
    opened = []

    class Uart:
        def __init__(self, *given, **_named):
            opened.append(given)

        def any(self):
            return 1 if played and played[-1] == 1320 and waiting else 0

        def read(self):
            if not waiting:
                raise Silent
            return waiting.pop(0)

    machine = ModuleType("machine")
    speaker = SimpleNamespace(freq=played.append, duty_u16=lambda _duty: None)
    machine.PWM, machine.UART, machine.Pin = lambda _pin: speaker, Uart, lambda number: number
    time = ModuleType("time")
    time.sleep_ms = lambda _ms: None
    monkeypatch.setitem(sys.modules, "machine", machine)
    monkeypatch.setitem(sys.modules, "time", time)
    (program,) = re.findall(r"```python\n(.*?)```", PAGE, re.S)
    with pytest.raises(Silent):
        exec(compile(program, "sound_box.md", "exec"), {})
    assert opened == [(0, 31250)]
    assert played == [880, 1320, 440, 880, 1320]


def test_the_sheet_joins_the_cue_line_to_the_box_and_no_part_of_it_is_on_the_board():
    whole = circuit()
    assert all(part.off_board for part in whole.sheet("sound"))
    assert [pin.net for pin in whole["J901"].pins] == [pin.net for pin in whole["J704"].pins]
    assert whole["A901"].net("GP1") == whole["R901"].pins[1].net
    assert f"{values.PICO / values.CUE_SERIES * 1e3:.0f} mA at most" in PAGE
    level = 3.3 * values.LOUD_LOWER / (values.LOUD_LOWER + values.LOUD_UPPER + values.AUDIO_OHMS)
    assert f"{level:.2f} V at most" in whole["R904"].why
