"""What a line of a machine file says of its parts: windings, coils, lamps, how a ball touches a switch."""

from dataclasses import dataclass

from hil.machine.checked import (
    Colour,
    Drive,
    Drives,
    Gauge,
    Insulation,
    Ms,
    Name,
    Names,
    Place,
    Places,
    Positive,
    Side,
    SomeMs,
    SomeSides,
    Volts,
)


@dataclass(frozen=True)
class Supply:
    """The coil supply: volts (effective ones when it is not smoothed), ohms of supply and wires; smoothed;
    guarded by covers, interlock and signs; isolated from the mains for certain; the most amperes it gives."""

    volts: Positive
    ohms: Positive
    smoothed: bool = True
    guarded: bool = False
    isolated: bool = True
    limit: Positive | None = None


@dataclass(frozen=True)
class Winding:
    """What a coil is wound of: ohms cold, mH with the plunger in, wire gauge (AWG); fuse; insulation class
    (A when unknown); clamp in zener volts (0: a diode)."""

    ohms: Positive
    mh: Positive
    awg: Gauge
    fuse: str
    insulation: Insulation = "A"
    clamp: Volts = 22.5


@dataclass(frozen=True)
class Load:
    """What is no winding that heat is reckoned of, a lamp, motor or meter: ohms in operation (of a motor that
    stands still), the watts that its maker allows for ever, fuse; clamp in zener volts (0: a diode)."""

    ohms: Positive
    watts: Positive
    fuse: str
    clamp: Volts = 22.5


@dataclass(frozen=True)
class Coil:
    """A coil on a drive, its winding or load, and times in ms where they are not those of its kind.

    The coils of a line with several take consecutive drives, or those of a tuple.
    """

    drive: Drive | Drives
    winding: Winding | Load | None = None
    name: Name | None = None
    pulse: Ms | None = None
    longest: Ms | None = None
    rest: Ms | None = None


@dataclass(frozen=True)
class Lamp:
    """The lamps of a line: colour, place in the lamp matrix (row 0: the LED chain), names of their own."""

    colour: Colour
    at: Place | Places
    name: Name | Names | None = None


@dataclass(frozen=True)
class Touch:
    """How a shot touches a switch: ms until it does, ms closed, ms until the ball rests, at which flipper.

    A tuple has one value for each switch of the line; what is left out is as usual for the kind.
    """

    reach: Ms | SomeMs | None = None
    closed: Ms | SomeMs | None = None
    back: Ms | SomeMs | None = None
    to: Side | SomeSides | None = None


RECORDS: dict[str, type] = {one.__name__: one for one in (Supply, Winding, Load, Coil, Lamp, Touch)}
