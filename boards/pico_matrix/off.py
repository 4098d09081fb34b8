"""The safe level of every output, by plain pin writes: works whatever else is broken."""

import machine

from boards.pico_matrix.pins import PINS


def safe() -> None:
    """Every output taken from whoever had it and put to its safe level; inputs without a drive."""
    for _name, gpio, direction, _owner, level, _what in PINS:
        if direction == "in":
            machine.Pin(gpio, machine.Pin.IN)
        elif direction == "out":
            machine.Pin(gpio, machine.Pin.OUT, value=level)
