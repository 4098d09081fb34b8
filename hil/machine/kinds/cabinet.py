"""Lines of the cabinet: flippers, and everything that the player or the operator works."""

from hil.game_tables import FlipperRow
from hil.host_tables import BatRow
from hil.machine.checked import Drive, Input, Number, Players, SomeSides
from hil.machine.complaints import RefusedLine
from hil.machine.expansion import HELD, HOLD, KNOCKER, METER, MOTOR, STRONG, Expansion
from hil.machine.places import names
from hil.machine.records import Coil

UP_DOWN = (18, 25)  # ms that a bat needs
PAD = ("leave", "less", "more", "open")


def flippers(
    made: Expansion,
    *,
    strong: Coil,
    hold: Coil | None = None,
    held: Drive | None = None,
    buttons: Input = 1,
    eos: Input = 3,
    sides: SomeSides = ("left", "right"),
) -> None:
    """The flippers, worked by their buttons without the rules.

    Two windings: `hold`. One winding: `held`, the first of the PWM-held drives beside the strong ones.
    """
    if (hold is None) == (held is None):
        raise RefusedLine(
            "flippers takes either 'hold' (two windings) or 'held' (one winding, a PWM-held drive)"
        )
    made.add_switches(
        [*(f"button.{side}" for side in sides), *(f"eos.{side}" for side in sides)],
        "flipper",
        "cabinet",
        [(0, first + step) for first in (buttons, eos) for step in range(len(sides))],
    )
    strongs = [f"flipper.{side}.strong" for side in sides]
    holds = [f"flipper.{side}.hold" for side in sides]
    one_winding = held is not None
    made.name_coils(strongs, strong, STRONG, 0.0 if one_winding else None)
    if hold:
        made.name_coils(holds, hold, HOLD)
    else:
        assert held is not None
        made.name_coils(holds, Coil(held, strong.winding), HELD, 0.0)
    pulse = STRONG.pulse if strong.pulse is None else strong.pulse
    for side, first, second in zip(sides, strongs, holds, strict=True):
        made.flippers.append(FlipperRow(f"button.{side}", f"eos.{side}", first, second, pulse))
        made.bats.append(BatRow(first, second, f"eos.{side}", *UP_DOWN))


def cabinet(
    made: Expansion,
    *,
    start: Input = 5,
    coins: Input = 6,
    slots: Number = 2,
    tilt: Input = 8,
    slam: Input = 9,
    door: Input = 10,
    pad: Input = 11,
    service_key: Input = 15,
    knocker: Coil | None = None,
    meter: Coil | None = None,
    lockout: Coil | None = None,
    players: Players | None = None,
) -> None:
    """Start button, coin slots, tilt bob, slam switch, door, service pad and key by direct input; coils.

    `players`: the most that take part, when fewer than four.
    """
    made.players = players or 0
    made.add_switches(["start"], "service", "cabinet", [(0, start)])
    counted = [f"coin.{number}" for number in range(1, slots + 1)]
    made.add_switches(counted, "coin", "cabinet", [(0, coins + step) for step in range(slots)])
    made.add_switches(["tilt"], "tilt", "cabinet", [(0, tilt)])
    made.add_switches(["slam"], "tilt", "cabinet", [(0, slam)])
    made.add_switches(["door"], "service", "cabinet", [(0, door)])
    made.add_switches(names("pad", PAD), "service", "cabinet", [(0, pad + step) for step in range(len(PAD))])
    made.add_switches(["service_key"], "service", "cabinet", [(0, service_key)])
    for name, coil, times in (
        ("knocker", knocker, KNOCKER),
        ("coin_meter", meter, METER),
        ("coin_lockout", lockout, MOTOR),
    ):
        if coil:
            made.name_coils([name], coil, times)
