"""Trace records in words, for reports."""

from collections.abc import Callable

from firmware.base import trace
from firmware.devices.coils import REASONS
from hil.bench.names import Names
from hil.bench.view import CHUNK, CHUNKS, Record, glyph, pattern_words, seconds


def describe(names: Names, record: Record) -> str:
    """A trace record in words, with its time."""
    return f"{seconds(record.ms)}  {_WORDS[record.kind](names, record)}"


def coil_words(value: int) -> str:
    """A COIL record's value in words."""
    if value == 0:
        return "off"
    return "held on" if value < 0 else f"pulse of {value} ms"


def _chunk_words(names: Names, record: Record) -> str:
    line, chunk = divmod(record.id, CHUNKS)
    first = chunk * CHUNK
    cells = range(min(CHUNK, names.displays[line].cells - first))
    shown = "".join(glyph(record.value >> (9 * i) & 0x1FF) for i in cells)
    return f"display line {line + 1}, from cell {first + 1}: '{shown}'"


_WORDS: dict[int, Callable[[Names, Record], str]] = {
    trace.EDGE: lambda n, r: f"switch {n.switches[r.id]} {'closed' if r.value else 'open'}",
    trace.EVENT: lambda n, r: f"event {n.events[r.id]} ({r.value})",
    trace.MOVE: lambda n, r: f"state of {n.rows[r.id].region}: {n.states[r.value]} (on {n.rows[r.id].event})",
    trace.AWARD: lambda n, r: f"award {n.awards[r.id]}: {r.value:,}",
    trace.BASE: lambda n, r: f"before the factor, {n.awards[r.id]}: {r.value:,}",
    trace.LAMP: lambda n, r: f"lamp {n.lamps[r.id]} {pattern_words(r.value)}",
    trace.COIL: lambda n, r: f"coil {n.coils[r.id]} {coil_words(r.value)}",
    trace.REFUSED: lambda n, r: f"coil {n.coils[r.id]} refused: {_refusal(r.value)}",
    trace.TEXT: _chunk_words,
    trace.CUE: lambda n, r: f"cue {n.cues[r.id]}",
    trace.SAVE: lambda n, r: f"save of {n.values[r.id]}: {r.value}",
}


def _refusal(value: int) -> str:
    return REASONS[value] if 0 < value < len(REASONS) else f"reason {value}"
