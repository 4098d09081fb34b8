"""The safe level of every output, by plain pin writes: works whatever else is broken."""

import machine

from boards.pico_matrix.pins import FEEDS, PINS


def set_safe_levels() -> None:
    """Every output taken from whoever had it and put to its safe level; inputs without a drive.

    Either level of a feed is safe and each change of it is not: it would enable coils for some milliseconds.
    """
    for name, gpio, direction, _owner, level, _what in PINS:
        if direction == "in":
            machine.Pin(gpio, machine.Pin.IN)
        elif direction == "out":
            if name in FEEDS:
                level = machine.Pin(gpio).value()
            machine.Pin(gpio, machine.Pin.OUT, value=level)
