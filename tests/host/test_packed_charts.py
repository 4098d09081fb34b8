"""Charts packed by the host and written as constants are the charts that a console packs by itself."""

from types import SimpleNamespace

import pytest

from firmware.base.errors import ChartError
from firmware.charts.unpack import COLUMNS
from firmware.console import Console
from hil import games
from hil.build import packing


def constants(console: Console) -> SimpleNamespace:
    found: dict[str, object] = {}
    exec(packing.module(console), found)
    return SimpleNamespace(**found)


@pytest.mark.parametrize("name", ["honey_flow", "kit_room", "kite_day"])
def test_a_console_with_packed_charts_has_the_same_table(name: str) -> None:
    game = games.load(name)
    console = game.console()
    again = Console(game.module, packed=constants(console))
    for column in COLUMNS:
        one, other = getattr(again.table, column), getattr(console.table, column)
        assert one == (other if isinstance(other, int) else tuple(other)), column
    assert again.events.names() == console.events.names()
    assert again.trace.digest() == console.trace.digest()
    assert [places(call, again) for call in again.table.calls[1:]] == [
        places(call, console) for call in console.table.calls[1:]
    ]


def places(call: object, console: Console) -> tuple[object, ...]:
    return packing._methods(call, console.play.features)


def test_charts_of_another_game_are_refused() -> None:
    one, other = games.load("honey_flow").console(), games.load("kit_room")
    with pytest.raises(ChartError, match="packed"):
        Console(other.module, packed=constants(one))
