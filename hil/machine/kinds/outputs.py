"""Lines that only light or drive something: lamps, coil, flashers, motor, chimes, wheel."""

from hil.game_tables import ChimeRow, DisplayRow
from hil.host_tables import WheelRow
from hil.machine.checked import (
    Colour,
    Input,
    Name,
    Names,
    Number,
    Place,
    Places,
    Round,
    Segments,
    Shows,
    Stop,
    Strokes,
)
from hil.machine.complaints import RefusedLine, advice
from hil.machine.expansion import CHIME, EJECT, FLASH, MOTOR, Expansion
from hil.machine.places import names, wires
from hil.machine.records import Coil, Lamp

WHEEL = (300, 60, 200)  # ms from stop to stop, pulse, pulse at home


def lamps(
    made: Expansion,
    name: Name | Names,
    n: Number | Names = 1,
    *,
    colour: Colour,
    at: Place | Places,
    first: Stop = 1,
) -> None:
    """Lamps of their own: one, several of one name (numbered from `first`), or several names."""
    called = list(name) if isinstance(name, tuple) else names(name, n, first)
    places = wires(at, len(called), "lamps")
    if isinstance(name, tuple):  # things of their own: each stands where its wire says
        for one, place in zip(called, places, strict=True):
            made.add_lamps([one], Lamp(colour, place))
    else:
        made.add_lamps(called, Lamp(colour, tuple(places)))


def coil(made: Expansion, name: Name, drive: Coil, *, search: Round = 0) -> None:
    """A coil of its own: spare, or fired by a feature. `search`: the round that tries it, 0: none."""
    (fired,) = made.add_coils(name, drive, EJECT)
    if search:
        made.search.append((fired, search, ""))


def flashers(made: Expansion, name: Name, n: Number | Names = 1, *, coil: Coil) -> None:
    """Flasher lamps on drives."""
    made.name_coils(names(name, n), coil, FLASH)


def motor(made: Expansion, name: Name, *, coil: Coil) -> None:
    """A motor, relay or magnet that may stay on."""
    made.name_coils([name], coil, MOTOR)


def chimes(
    made: Expansion,
    name: Name,
    n: Number | Names = 3,
    *,
    coil: Coil,
    cues: Strokes | None = None,
) -> None:
    """Chime coils. `cues`: what they strike for a cue, each stroke a chime and the ms until the next."""
    called = names(name, n)
    made.name_coils(called, coil, CHIME)
    for cue, strokes in cues or ():
        made.chimes.append(ChimeRow(cue, tuple((_chime(name, called, one), ms) for one, ms in strokes)))


def _chime(name: str, called: list[str], one: str) -> str:
    """The coil that a stroke names by what follows the line's name. Raises RefusedLine."""
    coil = f"{name}.{one}"
    if coil not in called:
        near = advice(one, [each.rpartition(".")[2] for each in called])
        raise RefusedLine(f"cues strikes '{one}'{near}")
    return coil


def displays(
    made: Expansion,
    name: Name,
    n: Number | Names = 1,
    *,
    digits: Number,
    segments: Segments = 7,
    shows: Shows = "score",
) -> None:
    """Displays of digits: the score of a player each, or a count. Without any there are two lines of text."""
    made.displays += [DisplayRow(one, digits, segments, shows) for one in names(name, n)]


def wheel(
    made: Expansion,
    name: Name,
    n: Number,
    *,
    at: Place | Input,
    motor: Coil,
    lamps: Lamp | None = None,
    start: Stop = 0,
) -> None:
    """A wheel of `n` stops on a motor, its index switch, a lamp a stop; `start`: its stop at the start."""
    index = f"{name}.index"
    made.add_switches(
        [index], "target", "cabinet", [(0, at)] if isinstance(at, int) else wires(at, 1, "wheel")
    )
    made.name_coils([f"{name}_motor"], motor, MOTOR)
    made.add_lamps(names(name, n), lamps)
    made.wheels.append(WheelRow(f"{name}_motor", index, n, start, *WHEEL))
