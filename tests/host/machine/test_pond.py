"""A game of lanes, spinner, bank and saucer: its machine file gives the tables that were written by hand."""

import importlib.util
from dataclasses import fields
from pathlib import Path

import pytest

from hil.machine.expanding import expand
from hil.machine.from_tables.comparing import UNORDERED, same_rows
from simulator.plant import Plant

HERE = Path(__file__).parent
RENAMED = {"FLIPPERS": "BATS", "COILS": "WOUND"}  # host tables of a name that a wiring table has, too


def tables_by_hand():
    spec = importlib.util.spec_from_file_location("pond_tables", HERE / "pond_tables.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


HAND = tables_by_hand()
MADE, ERRORS = expand(HERE / "pond_machine.py", "pond_machine.py")


def test_the_file_is_without_mistakes():
    assert ERRORS == []


@pytest.mark.parametrize("name", [field.name for field in fields(MADE.wiring)])
def test_a_wiring_table_is_as_by_hand(name):
    assert getattr(MADE.wiring, name) == getattr(HAND, name, 0 if name == "PLAYERS" else ())


@pytest.mark.parametrize("name", [field.name for field in fields(MADE.host)])
def test_a_host_table_is_as_by_hand(name):
    made, hand = getattr(MADE.host, name), getattr(HAND, RENAMED.get(name, name), ())
    assert made == hand or (name in UNORDERED and same_rows(name, made, hand))


def test_the_plant_plays_the_made_routes():
    names = [[row[0] for row in table] for table in (MADE.wiring.SWITCHES, MADE.wiring.COILS)]
    plant = Plant(MADE.host, *names)
    plant.start(0)
    plant.coil("trough_eject", 30, 0)
    run(plant, 1000)
    plant.shoot("plunge", 1000, pool=2)
    assert "pool.2" in run(plant, 3000)
    plant.shoot("saucer", 3000)
    assert run(plant, 5000)[-1] == "saucer"
    plant.coil("saucer_eject", 30, 5000)
    run(plant, 6000)
    plant.shoot("drain", 6000)
    run(plant, 8000)
    assert plant.places() == {"trough": 3, "lane": 0, "saucer": 0, "playfield": 0}
    assert plant.lost == 0


def run(plant, until_ms):
    """Run to a time; the switches that closed."""
    closed = []
    while (due := plant.due()) is not None and due <= until_ms:
        closed += [name for name, is_closed in plant.take(due) if is_closed]
    return closed
