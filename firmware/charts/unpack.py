"""From charts that the host packed, a module of constants, to the table that the engine runs.

The module has a constant for each of COLUMNS (in capitals), and these:

EVENTS   names of all events, by number
REGIONS  names of the regions, in the order of the charts
OWNERS   by region, the chart whose owner acts in it
CALLS    by call from 1 on: the chart whose owner has the methods, then their names in order
PATHS    what histories need: (initial, histories, content, recalls, slots), () without any
"""

from firmware.base.errors import ChartError
from firmware.base.numbers import zeros
from firmware.charts.action_sequence import ActionSequence, OwnerlessAction
from firmware.charts.table import Table

COLUMNS = (
    "states",
    "branched",
    "kind",
    "contents",
    "error",
    "names",
    "parent",
    "end",
    "region",
    "enters",
    "exits",
    "source",
    "domain",
    "plan",
    "does",
    "extras",
    "heard",
    "plans",
    "starts",
    "roots",
    "homes",
    "delays",
    "clocks",
)


def unpack(packed: "PackedCharts", owners: "Sequence[object]") -> Table:
    """The table of `packed` with these owners, one a chart. Raises ChartError when it is of another game."""
    if len(owners) != len(packed.REGIONS):
        raise ChartError(f"packed were {len(packed.REGIONS)} charts, the game has {len(owners)}")
    table = Table()
    for name in COLUMNS:
        setattr(table, name, getattr(packed, name.upper()))
    table.owners = tuple([owners[chart] for chart in packed.OWNERS])
    calls: list[Any] = [None]  # Any: no number means the first
    table.calls = tuple(calls + [_call(owners[each[0]], each[1:]) for each in packed.CALLS])
    if packed.PATHS:
        table.paths = _paths(table, packed.PATHS)
    return table


def _call(owner: object, names: "tuple[str, ...]") -> "Action":
    """What does the methods called so, one after another."""
    methods = [_method(owner, name) for name in names]
    call = methods[-1]
    for i in range(len(methods) - 2, -1, -1):
        call = ActionSequence(methods[i], call)
    return call


def _method(owner: object, name: str) -> "Action":
    method: Action | None = getattr(type(owner), name, None)
    return method if callable(method) else OwnerlessAction(getattr(owner, name))


def _paths(table: Table, packed: "PackedPaths") -> "Paths":
    from firmware.charts.paths import HistoryMemory, Paths  # few machines have histories

    initial, histories, content, recalls, slots = packed
    memories = []
    for parent, deep, default, does, slot, first, nested in histories:
        history = HistoryMemory(parent, deep)
        history.default, history.content = default, does
        history.slot, history.first, history.nested = slot, first, nested
        memories.append(history)
    blank = zeros(2 * table.states + 2, table.states + len(table.contents))
    paths = Paths(table.parent, table.end, table.kind, dict(initial), memories, blank)
    paths.content = dict(content)
    paths.recalls = {number: (targets, external) for number, targets, external in recalls}
    paths.slot_charts = slots
    return paths


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any

    from firmware.charts.interfaces import PackedCharts, PackedPaths
    from firmware.charts.paths import Paths
    from firmware.charts.table import Action
