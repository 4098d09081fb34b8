"""The kinds of lines of a machine file: one function a kind.

A kind's parameters and their annotations are its grammar; its docstring is what the user's page says of it.
"""

from collections.abc import Callable

from hil.machine.kinds.balls import outhole, shooter, trough
from hil.machine.kinds.cabinet import cabinet, flippers
from hil.machine.kinds.holes import hole, orbit, ramp, tunnel
from hil.machine.kinds.kickers import bumpers, kickback, slings
from hil.machine.kinds.outputs import chimes, coil, displays, flashers, lamps, motor, wheel
from hil.machine.kinds.switches import drops, lanes, spinner, targets

Kind = Callable[..., None]

FUNCTIONS: tuple[Kind, ...] = (
    lanes,
    targets,
    drops,
    spinner,
    bumpers,
    slings,
    hole,
    tunnel,
    ramp,
    orbit,
    kickback,
    wheel,
    trough,
    outhole,
    shooter,
    flippers,
    cabinet,
    lamps,
    coil,
    flashers,
    motor,
    chimes,
    displays,
)
KINDS: dict[str, Kind] = {kind.__name__: kind for kind in FUNCTIONS}
