"""What lasts of one chart: saved, loaded, restarted, without a byte allocated.

State numbers are written as two bytes, little-endian, whatever their width in memory.
"""

from firmware.base import timers as timing
from firmware.charts.table import CHART, CLOCK

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from firmware.base.numbers import Numbers
    from firmware.charts.microstep import Microstep


def region_size(engine: "Microstep", chart: int) -> int:
    """How many bytes one chart takes."""
    table = engine.table
    size = 2 * _count(table.homes, chart)
    for i in range(len(table.delays)):
        if table.clocks[CLOCK * i + CHART] == chart:
            size += timing.RECORD
    if engine.parallel is not None:
        size += 2 * _count(engine.parallel.slot_charts, chart)
    return size


def save_region(engine: "Microstep", chart: int, out: bytearray, offset: int) -> int:
    """Write configuration, history and timers of one chart; how many bytes."""
    table = engine.table
    _write(engine.leaf[chart], out, offset)
    at = _save(engine.leaf, table.homes, chart, table.charts, out, offset + 2)
    if engine.parallel is not None:
        at = _save(engine.parallel.memory, engine.parallel.slot_charts, chart, 0, out, at)
    for i in range(len(table.delays)):
        if table.clocks[CLOCK * i + CHART] == chart:
            engine.timers.save_one(engine.first_timer + i, out, at)
            at += timing.RECORD
    return at - offset


def load_region(engine: "Microstep", chart: int, saved: "bytes | bytearray", offset: int) -> int:
    """Take up what `save_region` wrote; how many bytes."""
    table = engine.table
    engine.leaf[chart] = saved[offset] | saved[offset + 1] << 8
    at = _load(engine.leaf, table.homes, chart, table.charts, saved, offset + 2)
    if engine.parallel is not None:
        at = _load(engine.parallel.memory, engine.parallel.slot_charts, chart, 0, saved, at)
    for i in range(len(table.delays)):
        if table.clocks[CLOCK * i + CHART] == chart:
            engine.timers.load_one(engine.first_timer + i, saved, at)
            at += timing.RECORD
    engine.touched[chart] = 1
    engine.mark_dirty()
    return at - offset


def restart(engine: "Microstep", chart: int) -> None:
    """Put one chart in its initial configuration with nothing remembered and its timers begun."""
    table = engine.table
    for i in range(len(table.delays)):
        if table.clocks[CLOCK * i + CHART] == chart:
            engine.timers.stop(engine.first_timer + i)
    engine.leaf[chart] = 0
    _clear(engine.leaf, table.homes, chart, table.charts)
    if engine.parallel is not None:
        _clear(engine.parallel.memory, engine.parallel.slot_charts, chart, 0)
    at = table.starts[chart]
    if at < table.states:
        engine.leaf[chart] = at
    else:
        _begin(engine, at - table.states)
    engine.touched[chart] = 1
    engine.mark_dirty()


def _begin(engine: "Microstep", at: int) -> None:
    """Enter the states that stand among the plans from `at` on; their timers begin, nothing else happens."""
    table = engine.table
    while table.plans[at]:
        state = table.plans[at]
        if state < table.states:
            engine.leaf[table.region[state]] = state
            if table.enters[state] >= len(table.calls):
                engine.start_timers(table.enters[state], table.region[state])
        at += 1


def _count(charts: "Sequence[int]", chart: int) -> int:
    count = 0
    for i in range(len(charts)):
        if charts[i] == chart:
            count += 1
    return count


# A chart's own region has its number; those within it come behind the charts.


def _save(
    numbers: "Sequence[int]", charts: "Sequence[int]", chart: int, first: int, out: bytearray, at: int
) -> int:
    for i in range(first, len(charts)):
        if charts[i] == chart:
            _write(numbers[i], out, at)
            at += 2
    return at


def _write(number: int, out: bytearray, at: int) -> None:
    out[at] = number & 0xFF
    out[at + 1] = number >> 8


def _load(
    numbers: "Numbers",
    charts: "Sequence[int]",
    chart: int,
    first: int,
    saved: "bytes | bytearray",
    at: int,
) -> int:
    for i in range(first, len(charts)):
        if charts[i] == chart:
            numbers[i] = saved[at] | saved[at + 1] << 8
            at += 2
    return at


def _clear(numbers: "Numbers", charts: "Sequence[int]", chart: int, first: int) -> None:
    for i in range(first, len(charts)):
        if charts[i] == chart:
            numbers[i] = 0
