"""Lines that hold a ball or lead it away: hole, tunnel, ramp, orbit."""

from hil.host_tables import DeviceRow, RouteRow, Steps, WeakCoilRow
from hil.machine.checked import Ms, Name, Names, Number, Place, Places, Round, Side
from hil.machine.expansion import EJECT, Expansion
from hil.machine.places import names, shot_name, spoken, wires
from hil.machine.records import Coil, Lamp

FAILS = 8  # per cent of an eject's pulses, in a failing plant
STRAYS = 6  # per cent of the balls bounce out, in a failing plant
PULSE = (15, 20)  # least, ms until the ball leaves
PASSING = 60


def hole(
    made: Expansion,
    name: Name,
    n: Number = 1,
    *,
    at: Place | Places,
    coil: Coil,
    lamp: Lamp | None = None,
    room: Number | None = None,
    search: Round = 1,
    to: Side = "left",
    roll: Ms = 120,
    help: str = "",
) -> None:
    """A hole, saucer or lock for `n` balls, the switch at the exit first, ejected to a flipper.

    `room`: places for balls when more fit in than switches see. `search`: the first round of a ball search
    that fires it while it holds balls (from 2 on the feature of its name is asked), 0: never.
    """
    found = names(name, n)
    made.add_switches(found, "rest", "device", wires(at, n, "hole"))
    made.add_lamps([name], lamp)
    (eject,) = made.add_coils(f"{name}_eject", coil, EJECT)
    if search:
        made.search.append((eject, search, name if search > 1 else ""))
    made.weak.append(WeakCoilRow(eject, FAILS))
    slots = (*found, *[""] * ((room or n) - n))
    made.devices.append(DeviceRow(name, slots, eject, *PULSE, roll, PASSING, f"from_{name}"))
    made.routes.append(RouteRow(f"from_{name}", (("place", "playfield"), ("rest", 450, f"flipper.{to}"))))
    if made.line.shot:
        _into(made, name, found, help)


def _into(made: Expansion, name: str, found: list[str], words: str) -> None:
    steps: Steps = (
        ("move", 300, f"{name}.mouth"),
        ("stray", STRAYS, f"out_of_{name}"),
        ("enter", 150, name, f"{name}_is_full"),
    )
    made.add_shot(shot_name(name), steps, words or f"into the {spoken(name)}; bounces out when it is full")
    made.routes.append(
        RouteRow(f"out_of_{name}", (("hit", 150, found[-1], 60), ("rest", 400, "flipper.left")))
    )
    made.routes.append(RouteRow(f"{name}_is_full", (("rest", 400, "flipper.left"),)))


def tunnel(made: Expansion, name: Name, *, to: Name, at: Place | None = None, help: str = "") -> None:
    """A way under the playfield to a hole; `at`: a switch at its mouth."""
    made.refer("to", to, "devices")
    mouth: Steps = (("move", 300, f"{name}.mouth"),)
    if at is not None:
        made.add_switches([name], "rollover", "device", wires(at, 1, "tunnel"))
        mouth = (("hit", 300, name, 300),)
    way: Steps = (("place", "tunnel"), ("enter", 900, to, ""))
    made.add_shot(shot_name(name), mouth + way, help or f"into the {spoken(name)}, out of the {spoken(to)}")


def ramp(made: Expansion, name: Name, *, at: Place | Places, to: Name = "right", help: str = "") -> None:
    """A ramp with a switch where it begins and one where it is made.

    `to`: a lane that it ends in, or a flipper's side.
    """
    enter, top = found = [f"{name}.enter", f"{name}.made"]
    made.add_switches(found, "rollover", "playfield", wires(at, 2, "ramp"))
    side = to.rpartition(".")[2]
    side = side if side in ("left", "right") else "right"
    down: Steps = (("rest", 900, f"flipper.{side}"),)
    if to not in ("left", "right"):
        made.refer("to", to, "switches")
        down = (("hit", 900, to, 35), ("rest", 250, f"flipper.{side}"))
    up: Steps = (("place", name), ("hit", 240, enter, 18), ("hit", 520, top, 24), ("place", "playfield"))
    back: Steps = (
        ("place", name),
        ("hit", 260, enter, 30),
        ("move", 350, f"{name}.bend"),
        ("hit", 450, enter, 26),
        ("place", "playfield"),
        ("rest", 400, f"flipper.{side}"),
    )
    end = "" if to in ("left", "right") else f" and down the {spoken(to)}"
    called = spoken(name)
    made.add_shot(shot_name(name), up + down, help or f"up the {called}{end}")
    made.add_shot(f"{shot_name(name)}_short", back, f"part of the way up the {called}: the ball rolls back")


def orbit(
    made: Expansion,
    name: Name,
    n: Number | Names = 1,
    *,
    at: Place | Places,
    lamps: Lamp | None = None,
    to: Name = "left",
    help: str = "",
) -> None:
    """An orbit with one switch, or one from each side; `to`: a lane that it ends in, or a flipper's side."""
    found = names(name, n)
    made.add_switches(found, "rollover", "playfield", wires(at, len(found), "orbit"))
    made.add_lamps(found, lamps)
    side = "right" if to.endswith("right") else "left"
    end: Steps = (("rest", 1200, f"flipper.{side}"),)
    if to not in ("left", "right"):
        made.refer("to", to, "switches")
        end = (("hit", 1200, to, 35), ("rest", 250, f"flipper.{side}"))
    for switch in found:
        steps: Steps = (("hit", 280, switch, 22), *end)
        made.add_shot(shot_name(switch), steps, help or spoken(switch))
