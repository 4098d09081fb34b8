"""What happened in a run, in words: the history with every change of a display as its whole line."""

from collections.abc import Iterator
from typing import NamedTuple

from firmware.devices.coils import REASONS
from hil.bench.names import Names, Row
from hil.bench.view import CHUNK, CHUNKS, TraceEvent, View, glyph, pattern_words, seconds


class Happening(NamedTuple):
    """When (ms), the kind as in the history or "line" of a display, its name, a sentence without the time."""

    ms: int
    kind: str
    name: str
    words: str
    stays: bool = False
    """Whether it is a transition that left the state as it was."""


def happenings(view: View, first: int = 0) -> list[Happening]:
    """Everything from `view.history[first]` on, in order of time."""
    events = view.history[first:]
    from_ms = events[0].ms if events else view.now_ms
    row = len(view.moves) - sum(event.kind == "move" for event in events)
    told: list[Happening] = []
    for event in events:
        if event.kind == "move":
            words = move_words(view.names, view.moves[row][0], event)
            stays = _stays(view.names.rows[view.moves[row][0]], view.names.states[event.value])
            row += 1
        else:
            words, stays = event_words(event), False
        told.append(Happening(event.ms, event.kind, event.name, words, stays))
    told += [line for line in display_lines(view) if line.ms >= from_ms]
    return sorted(told, key=lambda happening: happening.ms)


def move_words(names: Names, row: int, event: TraceEvent) -> str:
    """A transition in words: region, states, event and guard."""
    taken = names.rows[row]
    guard = f" when {taken.guard}" if taken.guard else ""
    state = names.states[event.value]
    leads = f"stays in {state}" if _stays(taken, state) else f"from {taken.source} to {state}"
    return f"{taken.region}: {leads}, on {taken.event}{guard}"


def _stays(taken: Row, state: str) -> bool:
    return state == taken.source or not taken.rest.startswith(" to ")


def event_words(event: TraceEvent) -> str:
    """An entry of the history that is no transition, in words."""
    kind, name, value = event.kind, event.name, event.value
    if kind == "edge":
        return f"switch {name} {'closed' if value else 'open'}"
    if kind == "lamp":
        return f"lamp {name} {pattern_words(value)}"
    if kind == "coil":
        return f"coil {name} {coil_words(value)}"
    if kind == "refused":
        return f"coil {name} refused: {REASONS[value] if 0 < value < len(REASONS) else f'reason {value}'}"
    numbered = {"award": f"award {name}: {value:,}", "base": f"before the factor, {name}: {value:,}"}
    numbered |= {"event": f"event {name} ({value})", "save": f"save of {name}: {value}"}
    return numbered.get(kind, f"{kind} {name}")


def award_words(event: TraceEvent, base: int = 0) -> str:
    """An award in words; `base`: what it was before its factor, 0 when that was one."""
    factor = f" ({base:,} × {event.value // base})" if base else ""
    return f"{event.name} {event.value:,}{factor}"


def coil_words(value: int) -> str:
    """A command to a coil in words."""
    if value == 0:
        return "off"
    return "held on" if value < 0 else f"pulse of {value} ms"


def display_lines(view: View) -> Iterator[Happening]:
    """Each millisecond's changes of a display, as what its whole line then showed."""
    cells = [[32] * display.cells for display in view.names.displays]
    at = 0
    while at < len(view.texts):
        ms = view.texts[at].ms
        changed: set[int] = set()
        while at < len(view.texts) and view.texts[at].ms == ms:
            record = view.texts[at]
            line, chunk = divmod(record.id, CHUNKS)
            first = chunk * CHUNK
            for i in range(min(CHUNK, len(cells[line]) - first)):
                cells[line][first + i] = record.value >> (9 * i) & 0x1FF
            changed.add(line)
            at += 1
        for line in sorted(changed):
            shown = "".join(glyph(cell) for cell in cells[line]).strip()
            yield Happening(ms, "line", view.names.displays[line].name, f"line {line + 1} shows '{shown}'")


def timed(happening: Happening) -> str:
    """A sentence with its time."""
    return f"{seconds(happening.ms)}  {happening.words}"
