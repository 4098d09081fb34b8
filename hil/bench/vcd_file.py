"""Writes the signals of a run as a value change dump, which waveform viewers open.

Switches, coils and windows are wires of one bit, lamp patterns vectors (0 off, 1 on, 2 to 4 the blinks),
scores and values vectors of 32 bits in two's complement; states and displays are strings. One unit of time
is one millisecond.
"""

from pathlib import Path
from typing import TextIO

import vcd.writer

from firmware.base.errors import UsageError
from hil.bench.waves import NUMBER, ON, TEXT, Change, Level, Signal, Waves

BITS = 32
LAMP_BITS = 3
VARIABLES = {ON: "wire", NUMBER: "reg", TEXT: "string"}  # by form: the kind of variable


def write(path: Path, waves: Waves) -> None:
    """Write the file. Raises UsageError: it cannot be written."""
    try:
        with path.open("w", encoding="ascii", errors="replace", newline="\n") as file:
            write_to(file, waves)
    except OSError as error:
        raise UsageError(f"the waveforms cannot be written: {error.strerror or error}", str(path)) from None


def write_to(file: TextIO, waves: Waves) -> None:
    """Write the dump to an open file."""
    lacks = f"; not told by this target: {', '.join(waves.lacks)}" if waves.lacks else ""
    with vcd.writer.VCDWriter(
        file, timescale="1 ms", comment=waves.title + lacks, version="inlane"
    ) as writer:
        variables = {
            signal: writer.register_var(
                signal.kind,
                signal.name,
                VARIABLES[signal.form],
                _width(signal),
                init=_value(signal, changes[0].level),
            )
            for signal, changes in waves.changes.items()
        }
        for change, signal in _in_order(waves):
            writer.change(variables[signal], change.ms, _value(signal, change.level))
        writer.close(waves.end_ms)


def _in_order(waves: Waves) -> list[tuple[Change, Signal]]:
    found = [(change, signal) for signal, changes in waves.changes.items() for change in changes[1:]]
    return sorted(found, key=lambda pair: pair[0].ms)


def _width(signal: Signal) -> int | None:
    """The bits of a signal; a string has none."""
    return {ON: 1, NUMBER: LAMP_BITS if signal.kind == "lamp" else BITS, TEXT: None}[signal.form]


def _value(signal: Signal, level: Level) -> Level:
    """A level as the format takes it: a string has no blanks and is not empty."""
    if signal.form == TEXT:
        return str(level).replace(" ", "_") or "_"
    assert isinstance(level, int)
    return level & (1 << BITS) - 1 if signal.form == NUMBER else level
