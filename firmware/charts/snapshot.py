"""The whole machine between two events as plain bytes: configuration, history, queues, timers.

Little-endian; a state number is two bytes whatever its width in memory, as are the length of a queue
and a queued event, whose argument takes four. Times are relative to now, so a snapshot can be taken
up under another clock. A CRC-32 over all that stands at the end.
"""

import struct

from firmware.base.crc import Crc
from firmware.base.errors import ChartError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.base.numbers import Numbers
    from firmware.charts.engine import Engine
    from firmware.charts.queue import Queue

FORM = 3
_HEAD = "<BHHHHH"
_MORE = "<Bi"  # whether eventless transitions are to be looked at; the argument of the last event
_SUM = "<HH"  # the checksum in halves: as one number it would not be a small integer


def take(engine: "Engine") -> bytes:
    """The bytes. Raises ChartError in an action."""
    if engine.busy:
        raise ChartError("a snapshot is taken between two events, not in an action")
    out = _head(engine) + struct.pack(_MORE, engine.is_dirty, engine.value)
    for numbers in _numbers(engine):
        for number in numbers:
            out += struct.pack("<H", number)
    for queue in (engine.external, engine.internal):
        out += struct.pack("<H", queue.count) + _waiting(queue)
    timers = bytearray(engine.timers.size())
    engine.timers.save(timers)
    out += bytes(timers)
    return out + _checksum(out, len(out))


def restore(engine: "Engine", saved: bytes) -> None:
    """Take up a snapshot. Raises ChartError, and changes nothing, when it is another's or damaged."""
    end = len(saved) - struct.calcsize(_SUM)
    if end < 0 or _checksum(saved, end) != saved[end:]:
        _refuse(engine, "the snapshot is damaged: its checksum is another")
    head = _head(engine)
    if engine.busy or saved[: len(head)] != head:
        _refuse(engine, "the snapshot is of other charts, or it is taken up in an action")
    start = len(head) + struct.calcsize(_MORE)
    at = start
    for numbers in _numbers(engine):
        at += 2 * len(numbers)
    queues = at
    for queue in (engine.external, engine.internal):
        at = _queue_end(queue, saved, at, end)
    if at + engine.timers.size() != end or not _is_valid(engine, saved, start):
        _refuse(engine, "the snapshot is of other charts, or its queues do not fit this engine's")
    for numbers in _numbers(engine):
        for i in range(len(numbers)):
            numbers[i] = struct.unpack_from("<H", saved, start)[0]
            start += 2
    for queue in (engine.external, engine.internal):
        queues = _refill(queue, saved, queues)
    engine.timers.load(saved, at)
    for chart in range(len(engine.touched)):
        engine.touched[chart] = 1
    engine.moved = True
    is_dirty, engine.value = struct.unpack_from(_MORE, saved, len(head))
    engine.is_dirty = is_dirty != 0
    engine.pending = engine.is_dirty or engine.external.count + engine.internal.count > 0


def _refuse(engine: "Engine", why: str) -> None:
    engine.refused += 1
    engine.new_losses += 1
    raise ChartError(why)


def _checksum(data: bytes, end: int) -> bytes:
    crc = Crc()
    crc.over(data, 0, end)
    return struct.pack(_SUM, crc.lo, crc.hi)


def _head(engine: "Engine") -> bytes:
    """What identifies a machine: the form, and its sizes."""
    table = engine.table
    sizes = (table.states, len(table.source), len(table.roots), table.eventless, len(engine.timers))
    return struct.pack(_HEAD, FORM, *sizes)


def _numbers(engine: "Engine") -> "list[Numbers]":
    return [engine.leaf] + ([engine.parallel.memory] if engine.parallel is not None else [])


def _is_valid(engine: "Engine", saved: bytes, at: int) -> bool:
    """Whether every leaf lies in its region, every chart has one, and histories remember states."""
    table = engine.table
    for numbers in _numbers(engine)[1:]:
        for slot in range(len(numbers)):
            if _count(saved, at + 2 * (len(table.roots) + slot)) >= table.states:
                return False
    for region in range(len(table.roots)):
        state = struct.unpack_from("<H", saved, at + 2 * region)[0]
        if state >= table.states or (state and table.region[state] != region):
            return False
        if region < table.charts and not state:
            return False
    return True


def _queue_end(queue: "Queue", saved: bytes, at: int, end: int) -> int:
    """Where a queue's bytes end; beyond `end`, that of all, when they do not fit this engine."""
    if at + 2 > end:
        return end + 1
    count = _count(saved, at)
    stop = at + 2 + 6 * count
    if count > len(queue.events) or stop > end:
        return end + 1
    for place in range(at + 2, stop, 6):
        if _count(saved, place) >= queue.limit:
            return end + 1
    return stop


def _waiting(queue: "Queue") -> bytes:
    out = b""
    for _ in range(queue.count):
        event = queue.take()
        out += struct.pack("<Hi", event, queue.value)
        queue.put(event, queue.value)
    return out


def _refill(queue: "Queue", saved: bytes, at: int) -> int:
    while queue.count:
        queue.take()
    count = _count(saved, at)
    for i in range(count):
        event, value = struct.unpack_from("<Hi", saved, at + 2 + 6 * i)
        queue.put(event, value)
    return at + 2 + 6 * count


def _count(saved: bytes, at: int) -> int:
    return saved[at] | saved[at + 1] << 8
