"""Lines whose switches fire a coil at once, and the kickback: bumpers, slings, kickback."""

from hil.host_tables import OptionRow, RouteRow, Steps
from hil.machine.checked import Name, Names, Number, Place, Places, Side
from hil.machine.expansion import KICKBACK, SNAP, Expansion, touches
from hil.machine.places import names, shot_name, spoken, wires
from hil.machine.records import Coil, Lamp, Touch

HITS = OptionRow("hits", 1, 12, 1, (1, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1, 1))
GAP = 190  # ms from hit to hit
SIDES = ("left", "right")


def bumpers(
    made: Expansion,
    name: Name,
    n: Number | Names = 3,
    *,
    at: Place | Places,
    coil: Coil,
    lamps: Lamp | None = None,
    touch: Touch | None = None,
    help: str = "",
) -> None:
    """Bumpers: each fires its own coil at once."""
    found = names(name, n)
    made.add_switches(found, "bumper", "playfield", wires(at, len(found), "bumpers"))
    made.add_lamps(found, lamps)
    coils = names(coil.name or name, n)
    made.name_coils(coils, coil, SNAP)
    made.add_reflexes(found, coils, SNAP, coil)
    usual = touches(touch, Touch(300, 12, 600, "left"), len(found))
    for number, (switch, (reach, closed, back, side)) in enumerate(zip(found, usual, strict=True), 1):
        steps: Steps = (
            ("bounce", reach, (switch,), closed, GAP, "hits"),
            ("rest", back, f"flipper.{side}"),
        )
        made.add_shot(shot_name(switch), steps, help or f"bumper {number}", options=(HITS,))


def slings(
    made: Expansion,
    name: Name = "sling",
    *,
    at: Place | Places,
    coil: Coil,
    touch: Touch | None = None,
) -> None:
    """The pair of slings: each fires its own coil at once."""
    found = names(name, SIDES)
    made.add_switches(found, "sling", "playfield", wires(at, 2, "slings"))
    made.name_coils(found, coil, SNAP)
    made.add_reflexes(found, found, SNAP, coil)
    usual = touches(touch, Touch(150, 10, 350, ("right", "left")), len(found))
    for switch, (reach, closed, back, side) in zip(found, usual, strict=True):
        steps: Steps = (("hit", reach, switch, closed), ("rest", back, f"flipper.{side}"))
        made.add_shot(shot_name(switch), steps, spoken(switch))


def kickback(made: Expansion, name: Name, *, lane: Name, coil: Coil, to: Side = "right") -> None:
    """A coil in an outlane: the rules fire it, and the ball comes back to a flipper."""
    made.refer("lane", lane, "switches")
    (fired,) = made.add_coils(name, coil, KICKBACK)
    route = f"from_{name}"
    made.caught[lane] = (fired, route)
    made.routes.append(RouteRow(route, (("place", "playfield"), ("rest", 900, f"flipper.{to}"))))
