"""What lasts: one chart saved, loaded, restarted; the whole machine in a snapshot.

State numbers are written as two bytes, little-endian, whatever their width in memory.
"""

from firmware.base import timers as timing
from firmware.base.errors import ChartError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import MutableSequence, Sequence

    from firmware.charts.engine import Engine
    from firmware.charts.queue import Queue

_FORM = 1


def region_size(engine: "Engine", chart: int) -> int:
    """How many bytes one chart takes."""
    table = engine.table
    numbers = _count(table.homes, chart) + _count(engine.slot_charts, chart)
    return 2 * numbers + timing.RECORD * _count(table.clocks.charts, chart)


def save_region(engine: "Engine", chart: int, out: bytearray, offset: int) -> int:
    """Write configuration, history and timers of one chart; how many bytes."""
    table = engine.table
    at = _put_some(engine.leaf, table.homes, chart, out, offset)
    at = _put_some(engine.memory, engine.slot_charts, chart, out, at)
    for i in range(len(table.clocks.charts)):
        if table.clocks.charts[i] == chart:
            engine.timers.save_one(engine.first_timer + i, out, at)
            at += timing.RECORD
    return at - offset


def load_region(engine: "Engine", chart: int, saved: "bytes | bytearray", offset: int) -> int:
    """Take up what `save_region` wrote; how many bytes."""
    table = engine.table
    at = _take_some(engine.leaf, table.homes, chart, saved, offset)
    at = _take_some(engine.memory, engine.slot_charts, chart, saved, at)
    for i in range(len(table.clocks.charts)):
        if table.clocks.charts[i] == chart:
            engine.timers.load_one(engine.first_timer + i, saved, at)
            at += timing.RECORD
    engine.touched[chart] = 1
    engine.stir()
    return at - offset


def restart(engine: "Engine", chart: int) -> None:
    """Put one chart in its initial configuration with nothing remembered and its timers begun."""
    table = engine.table
    for i in range(len(table.clocks.charts)):
        if table.clocks.charts[i] == chart:
            engine.timers.stop(engine.first_timer + i)
    for i in range(len(table.homes)):
        if table.homes[i] == chart:
            engine.leaf[i] = 0
    for i in range(len(engine.slot_charts)):
        if engine.slot_charts[i] == chart:
            engine.memory[i] = 0
    at = table.starts[chart]
    while table.plans[at]:
        state = table.plans[at]
        if state < table.states:
            engine.leaf[table.region[state]] = state
            if table.extra[state]:
                engine.start_timers(table.extras[table.extra[state]], chart)
        at += 1
    engine.touched[chart] = 1
    engine.stir()


def snapshot(engine: "Engine") -> bytes:
    """The whole machine between two events."""
    if engine.busy:
        raise ChartError("a snapshot is taken between two events, not in an action")
    head = _head(engine)
    numbers = len(engine.leaf) + len(engine.memory)
    queues = 2 + 6 * (engine.outer.count + engine.inner.count)
    out = bytearray(len(head) + 2 * numbers + queues + engine.timers.size())
    at = _put(head, out, 0)
    for array in (engine.leaf, engine.memory):
        for number in array:
            at = _put_number(number, 2, out, at)
    at = _put_queue(engine.outer, out, at)
    at = _put_queue(engine.inner, out, at)
    engine.timers.save(out, at)
    return bytes(out)


def restore(engine: "Engine", saved: bytes) -> None:
    """Take up a snapshot; refuses one of another machine and leaves this one as it was."""
    head = _head(engine)
    if engine.busy or saved[: len(head)] != head:
        raise ChartError("the snapshot is not of these charts, or it is restored in an action")
    at = len(head)
    size = at + 2 * (len(engine.leaf) + len(engine.memory))
    for _ in range(2):
        if size < len(saved):
            size += 1 + 6 * saved[size]
    if size + engine.timers.size() != len(saved):
        raise ChartError("the snapshot is cut short or damaged")
    for array in (engine.leaf, engine.memory):
        for i in range(len(array)):
            array[i] = _number(saved, at, 2)
            at += 2
    at = _take_queue(engine.outer, saved, at)
    at = _take_queue(engine.inner, saved, at)
    engine.timers.load(saved, at)
    for chart in range(len(engine.touched)):
        engine.touched[chart] = 1


def _head(engine: "Engine") -> bytes:
    """What tells machines apart: their sizes."""
    table = engine.table
    out = bytearray(11)
    out[0] = _FORM
    sizes = (table.states, len(table.source), len(table.roots), table.eventless, len(engine.timers))
    for i, size in enumerate(sizes):
        _put_number(size, 2, out, 1 + 2 * i)
    return bytes(out)


def _count(charts: "Sequence[int]", chart: int) -> int:
    count = 0
    for i in range(len(charts)):
        if charts[i] == chart:
            count += 1
    return count


def _put(source: bytes, out: bytearray, at: int) -> int:
    out[at : at + len(source)] = source
    return at + len(source)


def _put_number(number: int, size: int, out: bytearray, at: int) -> int:
    for i in range(size):
        out[at + i] = number & 0xFF
        number >>= 8
    return at + size


def _number(saved: "bytes | bytearray", at: int, size: int) -> int:
    """A signed number of four bytes, an unsigned one of two."""
    number = saved[at + size - 1]
    if size == 4 and number > 127:
        number -= 256
    for i in range(size - 2, -1, -1):
        number = (number << 8) | saved[at + i]
    return number


def _put_some(array: "Sequence[int]", charts: "Sequence[int]", chart: int, out: bytearray, at: int) -> int:
    for i in range(len(charts)):
        if charts[i] == chart:
            at = _put_number(array[i], 2, out, at)
    return at


def _take_some(
    array: "MutableSequence[int]", charts: "Sequence[int]", chart: int, saved: "bytes | bytearray", at: int
) -> int:
    for i in range(len(charts)):
        if charts[i] == chart:
            array[i] = _number(saved, at, 2)
            at += 2
    return at


def _put_queue(queue: "Queue", out: bytearray, at: int) -> int:
    out[at] = queue.count
    at += 1
    for _ in range(queue.count):
        event = queue.take()
        at = _put_number(event, 2, out, at)
        at = _put_number(queue.value, 4, out, at)
        queue.put(event, queue.value)
    return at


def _take_queue(queue: "Queue", saved: bytes, at: int) -> int:
    while queue.count:
        queue.take()
    count = saved[at]
    at += 1
    for _ in range(count):
        queue.put(_number(saved, at, 2), _number(saved, at + 2, 4))
        at += 6
    return at
