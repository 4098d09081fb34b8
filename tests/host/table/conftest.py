"""Small tables made from a few shapes, without a game."""

import sys

import pytest

pytest.importorskip("pymunk")

from hil import command
from simulator.ball import Ball
from simulator.table.bat import SwingingBat
from simulator.table.field import Field
from simulator.table.layout import Layout
from simulator.table.roller import Roller


class Bench:
    """A playfield with the given things on it. `run` lets whole milliseconds pass."""

    def __init__(self, slope=6.5, bats=(), **things):
        self.field = Field(Layout(**things), [SwingingBat(*bat) for bat in bats], slope)

    def roll(self, x, y, u=0.0, v=0.0):
        roller = Roller(Ball(len(self.field.rollers), "playfield"), (x, y), (u, v))
        self.field.add(roller)
        return roller

    def run(self, ms, watch=lambda now: None):
        for _ in range(ms):
            self.field.step()
            watch(self.field.now_ms)


@pytest.fixture
def bench():
    return Bench


@pytest.fixture
def inlane(capsys):
    def run(*words):
        sys.argv = ["inlane", *[str(word) for word in words]]
        with pytest.raises(SystemExit) as stop:
            command.main()
        told = capsys.readouterr()
        return stop.value.code, told.out, told.err

    return run
