"""Lines that bring a ball into play: trough or outhole, shooter lane."""

from hil.host_tables import DeviceRow, OptionRow, RouteRow, Steps, WeakCoilRow
from hil.machine.checked import Name, Number, Place, Places, Stop, Weights
from hil.machine.complaints import RefusedLine
from hil.machine.expansion import EJECT, FIRST, LAST, PLUNGER, Expansion
from hil.machine.places import spoken, wires
from hil.machine.records import Coil

FAILS = 8  # per cent of an eject's pulses, in a failing plant
PLUNGES_FAIL = 5
KICKERS = {"trough": "trough_eject", "outhole": "outhole_kick"}  # coil by home device


def trough(
    made: Expansion,
    n: Number,
    *,
    at: Place | Places,
    coil: Coil,
    jam: Place | None = None,
    balls: Number | None = None,
) -> None:
    """The trough: `n` switches, the exit first; `jam`: the one behind the exit. `balls`: not as many."""
    found = [f"trough.{number}" for number in range(1, n + 1)]
    places = wires(at, n, "trough")
    jams = [] if jam is None else [jam]
    made.add_switches([*found, *["trough.jam"] * len(jams)], "rest", "device", [*places, *jams])
    _home(made, "trough", found, coil, balls or n, jam is not None)


def outhole(made: Expansion, *, at: Place, coil: Coil) -> None:
    """The hole under the flippers of a machine with one ball; its coil kicks the ball to the shooter lane."""
    made.add_switches(["outhole"], "rest", "device", wires(at, 1, "outhole"))
    _home(made, "outhole", ["outhole"], coil, 1, False)


def _home(made: Expansion, name: str, found: list[str], coil: Coil, balls: int, jam: bool) -> None:
    if made.home:
        raise RefusedLine("there is a trough or an outhole already; a machine has one")
    if balls > len(found):
        raise RefusedLine(f"balls is {balls}; the trough has room for {len(found)}")
    made.home, made.balls, made.trough = name, balls, tuple(found)
    (eject,) = made.add_coils(KICKERS[name], coil, EJECT)
    made.weak.insert(0, WeakCoilRow(eject, FAILS))
    made.devices.insert(0, DeviceRow(name, tuple(found), eject, 15, 20, 120, 60, "to_lane"))
    way: Steps = (
        (("hit", 15, "trough.jam", 45), ("enter", 155, "lane", "")) if jam else (("enter", 170, "lane", ""),)
    )
    drained: Steps = (("place", name), ("move", 250, "drain.middle"), ("enter", 250, name, ""))
    made.routes += [RouteRow("to_lane", way), RouteRow("drained", drained)]
    made.refer("way out", "lane", "devices")
    steps: Steps = (("move", 250, "drain.middle"), ("go", "drained"))
    made.add_shot("drain", steps, "down between the flippers", order=LAST)
    made.keys["drain"] = "backspace"


def shooter(
    made: Expansion,
    *,
    at: Place,
    coil: Coil | None = None,
    over: Name | None = None,
    usual: Stop = 1,
    weights: Weights | None = None,
    help: str = "",
) -> None:
    """The shooter lane, with the coil of its auto plunger.

    `over`: a row of lanes that the plunge leads over; `usual` the one it takes, `weights` how often it takes
    none, the first …
    """
    made.add_switches(["lane"], "lane", "device", wires(at, 1, "shooter"))
    plunger = ""
    if coil:
        (plunger,) = made.add_coils("auto_plunger", coil, PLUNGER)
        made.search.append((plunger, 1, ""))
        made.weak.insert(1, WeakCoilRow(plunger, PLUNGES_FAIL))
    made.keys["plunge"] = "space"
    if over:
        made.refer("over", over, "lanes")
        made.plunged_over.add(over)
    made.later(lambda: _lane(made, plunger, over, usual, weights, help))


def _lane(
    made: Expansion, plunger: str, over: str | None, usual: int, weights: tuple[int, ...] | None, words: str
) -> None:
    slots = ("lane", *[""] * (max(made.balls, 1) - 1))
    made.devices.insert(1, DeviceRow("lane", slots, plunger, 15, 15, 20, 10, "served"))
    if over is None:
        served: Steps = (("place", "playfield"), ("rest", 900, "flipper.right"))
        made.routes.append(RouteRow("served", served))
        made.add_shot(
            "plunge", (("leave", "lane"), ("go", "served")), words or "pull the plunger", "lane", order=FIRST
        )
        return
    row = [
        switch.name
        for block in made.switches
        for switch in block.rows
        if switch.name == over or switch.name.startswith(over + ".")
    ]
    _plunge_over(made, over, row, usual, weights, words)


def _plunge_over(
    made: Expansion, over: str, row: list[str], usual: int, weights: tuple[int, ...] | None, words: str
) -> None:
    shares = weights or (1, *[2] * len(row))
    if len(shares) != len(row) + 1:
        raise RefusedLine(
            f"weights has {len(shares)} values; '{over}' takes {len(row) + 1}: none, then each lane"
        )
    if not 0 <= usual <= len(row):
        raise RefusedLine(f"usual is {usual}; '{over}' has lanes 1 to {len(row)}, 0 is none")
    option = over.replace(".", "_")
    routes = [f"{option}_{number}" for number in range(1, len(row) + 1)]
    made.routes.append(RouteRow("served", (("place", "playfield"), ("pick", option, ("nowhere", *routes)))))
    made.routes.append(RouteRow("nowhere", (("rest", 700, "flipper.right"),)))
    for number, (route, switch) in enumerate(zip(routes, row, strict=True)):
        made.routes.append(
            RouteRow(route, (("hit", 400 + 50 * number, switch, 30), ("rest", 700, "flipper.left")))
        )
    text = words or f"pull the plunger: over a {spoken(over)} lane ({option}=0: past them all)"
    options = (OptionRow(option, 0, len(row), usual, shares),)
    made.add_shot("plunge", (("leave", "lane"), ("go", "served")), text, "lane", options, FIRST)
