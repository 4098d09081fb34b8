"""A small invented machine, and drawings of it."""

import pytest

from simulator.drawing.drawing import Drawing
from simulator.drawing.machine import Device, Flipper, Machine, Switch

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="1000mm" viewBox="0 0 500 1000">'


@pytest.fixture
def machine():
    """The small machine."""
    return Machine(
        {
            "gong": Switch("rollover", "playfield"),
            "wall": Switch("target", "playfield"),
            "drop": Switch("target", "playfield"),
            "post": Switch("bumper", "playfield"),
            "kick.left": Switch("sling", "playfield"),
            "pit": Switch("rest", "device"),
            "start": Switch("service", "cabinet"),
        },
        {"gong": "red", "again": "white"},
        {
            "post": "snap",
            "pit_eject": "queued",
            "flash": "flasher",
            "bat.strong": "flipper",
            "bat.hold": "flipper",
        },
        {"post": "post"},
        (Flipper("bat", "bat.strong", "bat.hold", "button", "eos"),),
        {"drop": "drop_reset"},
        (Device("pit", ("pit", "pit.2"), ("pit.2",), "pit_eject"),),
        "pit",
        (("pit", "gong"), ("gong", "bat"), ("bat", "wall"), ("wall", "bat"), ("bat", "pit.2")),
    )


@pytest.fixture
def draw(machine):
    """A drawing of the small machine with this inside, on lines 2 and on."""

    def made(inside, head=HEAD):
        return Drawing(f"{head}\n{inside}\n</svg>".encode(), "made.svg", machine)

    return made
