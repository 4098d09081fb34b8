"""Sheet sound: a sound box at the cue line, of parts that any hobbyist has; nothing of it is on the board."""

from dataclasses import replace

from hil.electrical.circuit import values
from hil.electrical.circuit.parts import (
    INPUT,
    OUTPUT,
    PASSIVE,
    SOURCE,
    SUPPLY,
    Part,
    Pin,
    capacitor,
    connector,
    fuse,
    resistor,
    two,
)


def parts() -> list[Part]:
    """The parts of the sheet."""
    return [replace(part, off_board=True) for part in (*_line(), *_supply(), *_sound())]


def _line() -> list[Part]:
    return [
        connector("J901", "cue line, to J704", ("CUE_TX", "CUE_RX", "0V"), V=60, A=1),
        resistor("R901", values.CUE_SERIES, "CUE_TX", "BOX_CUE", why="either side may be without supply"),
        resistor("R902", values.CUE_UP, "BOX_CUE", "BOX_3V3", why="high without a plug: no byte comes"),
        _pico(),
    ]


def _pico() -> Part:
    pins = (
        Pin("2", "GP1", INPUT, "BOX_CUE", 3.6),
        Pin("4", "GP2", OUTPUT, "BOX_PWM", 3.6),
        Pin("38", "GND", SUPPLY, "0V"),
        Pin("36", "3V3", SOURCE, "BOX_3V3"),
        Pin("39", "VSYS", SUPPLY, "BOX_5V", 5.5),
    )
    return Part("A901", "module", "Raspberry Pi Pico", pins, why="plays a sound for each byte")


def _supply() -> list[Part]:
    pins = (Pin("1", "+", SOURCE, "BOX_5V_IN"), Pin("2", "-", PASSIVE, "0V"))
    why = "bought, enclosed, isolated; its own, so that the amplifier does not pull the logic supply down"
    unit = Part("PS4", "bought supply", "5 V DC 2 A", pins, {"V": 5.0, "A": 2.0}, 5.0, why=why)
    return [
        unit,
        fuse("F901", "1.6 A slow", "BOX_5V_IN", "BOX_5V", 63, 1.6, 35),
        capacitor("C901", 470e-6, 16, "BOX_5V", "0V", kind="electrolytic"),
    ]


def _sound() -> list[Part]:
    amplifier = (
        Pin("1", "VDD", SUPPLY, "BOX_5V", 5.5),
        Pin("2", "GND", SUPPLY, "0V"),
        Pin("3", "IN", INPUT, "AMP_IN"),
        Pin("4", "OUT+", OUTPUT, "SPEAKER+"),
        Pin("5", "OUT-", OUTPUT, "SPEAKER-"),
    )
    speaker = two("SPEAKER+", "SPEAKER-", ("+", "-"))
    why = "neither end of the speaker is 0 V"
    return [
        resistor("R903", values.AUDIO_OHMS, "BOX_PWM", "AUDIO"),
        capacitor("C902", values.AUDIO_FARADS, 50, "AUDIO", "0V", kind="film"),
        resistor("R904", values.LOUD_UPPER, "AUDIO", "LEVEL", why="with R905: 0.35 V at most"),
        resistor("R905", values.LOUD_LOWER, "LEVEL", "0V", why="greater is louder"),
        capacitor("C903", 1e-6, 50, "LEVEL", "AMP_IN", kind="film"),
        resistor("R906", 100e3, "AMP_IN", "0V"),
        Part("A902", "module", "class D amplifier, 5 V, 3 W", amplifier, {"W": 3.0}, why=why),
        Part("LS901", "module", "speaker, 4 to 8 Ω, 3 W", speaker, {"W": 3.0}),
    ]
