"""A game's charts, packed and written as a module of constants: firmware.charts.unpack reads it.

Frozen into an image, constants stay in flash, and the board packs nothing.
"""

from collections.abc import Sequence
from pprint import pformat
from typing import TYPE_CHECKING

from firmware.charts.action_sequence import ActionSequence, OwnerlessAction
from firmware.charts.table import Table
from firmware.charts.unpack import COLUMNS
from firmware.console import Console

if TYPE_CHECKING:
    from firmware.charts.table import Action

WIDTH = 110


def module(console: Console) -> str:
    """The source of the module, from a console of the game."""
    table = console.table
    features: list[object] = [*console.play.features]
    values: dict[str, object] = {name.upper(): _plain(getattr(table, name)) for name in COLUMNS}
    values["EVENTS"] = tuple(console.events.names())
    values["REGIONS"] = tuple(feature.name for feature in console.play.features)
    values["OWNERS"] = tuple(features.index(owner) for owner in table.owners)
    values["CALLS"] = tuple(_methods(call, features) for call in table.calls[1:])
    values["PATHS"] = _paths(table)
    lines = [f"{name} = {pformat(values[name], width=WIDTH, compact=True)}" for name in sorted(values)]
    return '"""Packed charts; written by `inlane image`, not to be edited."""\n\n' + "\n".join(lines) + "\n"


def _plain(value: int | Sequence[object]) -> int | tuple[object, ...]:
    return value if isinstance(value, int) else tuple(value)


def _methods(call: "Action", features: list[object]) -> tuple[int | str, ...]:
    """The chart whose owner has the methods that a call runs, and their names."""
    names: list[str] = []
    chart = -1
    while isinstance(call, ActionSequence):
        chart, name = _method(call.first, features)
        names.append(name)
        call = call.rest
    chart, name = _method(call, features)
    return (chart, *names, name)


def _method(call: "Action", features: list[object]) -> tuple[int, str]:
    for chart, feature in enumerate(features):
        for name in dir(type(feature)) if not isinstance(call, OwnerlessAction) else vars(feature):
            found = getattr(type(feature), name, None)
            if found is call or (isinstance(call, OwnerlessAction) and getattr(feature, name) == call.call):
                return chart, name
    raise LookupError(f"no feature has {call!r}")


def _paths(table: Table) -> tuple[object, ...]:
    paths = table.paths
    if paths is None:
        return ()
    histories = tuple(
        (p.parent, p.deep, tuple(p.default), p.content, p.slot, p.first, p.nested) for p in paths.histories
    )
    recalls = tuple((number, *each) for number, each in sorted(paths.recalls.items()))
    initial = tuple(sorted(paths._initial.items()))
    return initial, histories, tuple(sorted(paths.content.items())), recalls, tuple(paths.slot_charts)
