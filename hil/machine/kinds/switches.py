"""Lines of switches that a ball touches: lanes, targets, drop targets, spinner."""

from hil.host_tables import DropTargetRow, OptionRow, Steps, WeakCoilRow
from hil.machine.checked import Name, Names, Number, Place, Places
from hil.machine.expansion import RESET, Expansion, touches
from hil.machine.places import names, shot_name, spoken, wires
from hil.machine.records import Coil, Lamp, Touch

OVER = Touch(300, 35, 250, "left")
HIT = Touch(250, 12, 400, "left")
FAILS = 15  # per cent of a reset's pulses, in a failing plant
RAISED = (40, 60)  # least pulse, ms until the switches open
TURNS = OptionRow("turns", 0, 20, 8, (0, 1, 1, 2, 2, 3, 3, 4, 4, 4, 4, 3, 3, 2, 2, 1, 1, 1, 1, 1, 1))


def lanes(
    made: Expansion,
    name: Name,
    n: Number | Names = 1,
    *,
    at: Place | Places,
    lamps: Lamp | None = None,
    drains: bool = False,
    touch: Touch | None = None,
    help: str = "",
) -> None:
    """Rollover switches. `drains`: outlanes, behind which the ball drains.

    No shots when the plunge leads over them (`shooter(over=…)`).
    """
    found = names(name, n)
    made.add_switches(found, "rollover", "playfield", wires(at, len(found), "lanes"))
    made.add_lamps(found, lamps)
    made.later(lambda: _lane_shots(made, name, found, drains, touch, help))


def _lane_shots(
    made: Expansion, name: str, found: list[str], drains: bool, touch: Touch | None, words: str
) -> None:
    if name in made.plunged_over:
        return
    for switch, (reach, closed, back, side) in zip(found, touches(touch, OVER, len(found)), strict=True):
        said = _help(words, switch, name, _over(switch))
        hit = ("hit", reach, switch, 40 if drains and touch is None else closed)
        if not drains:
            made.add_shot(shot_name(switch), (hit, ("rest", back, _flipper(switch, side, touch))), said)
        elif switch in made.caught:
            coil, route = made.caught[switch]
            said += f": drains unless the {spoken(coil)} fires within 200 ms"
            made.add_shot(shot_name(switch), (hit, ("catch", coil, 200, 15, route), ("go", "drained")), said)
        else:
            made.add_shot(shot_name(switch), (hit, ("go", "drained")), said)


def _flipper(switch: str, side: str, touch: Touch | None) -> str:
    """A lane of one side leads to the flipper of that side."""
    own = switch.rpartition(".")[2]
    return f"flipper.{own if own in ('left', 'right') and (touch is None or touch.to is None) else side}"


def _over(switch: str) -> str:
    name, _, number = switch.partition(".")
    return f"over {spoken(name)} lane {number}" if number.isdigit() else f"down the {spoken(switch)}"


def _help(words: str, switch: str, name: str, usual: str) -> str:
    """The help of one shot: as written, with what follows the line's name in the place of {}."""
    return words.replace("{}", switch[len(name) :].lstrip(".")) if words else usual


def targets(
    made: Expansion,
    name: Name,
    n: Number | Names = 1,
    *,
    at: Place | Places,
    lamps: Lamp | None = None,
    touch: Touch | None = None,
    help: str = "",
) -> None:
    """Targets that stand: one, or a bank."""
    found = names(name, n)
    made.add_switches(found, "target", "playfield", wires(at, len(found), "targets"))
    made.add_lamps(found, lamps)
    for switch, (reach, closed, back, side) in zip(found, touches(touch, HIT, len(found)), strict=True):
        steps: Steps = (("hit", reach, switch, closed), ("rest", back, f"flipper.{side}"))
        made.add_shot(shot_name(switch), steps, _help(help, switch, name, _target(switch)))


def _target(switch: str) -> str:
    return spoken(switch) if switch[-1].isdigit() else f"the {spoken(switch)}"


def drops(
    made: Expansion,
    name: Name,
    n: Number | Names = 1,
    *,
    at: Place | Places,
    reset: Coil | Name,
    lamps: Lamp | None = None,
    feature: Name | None = None,
    touch: Touch | None = None,
    help: str = "",
) -> None:
    """Drop targets with one reset coil, or with that of another bank (its name).

    `feature`: the feature that a ball search asks before it fires the reset.
    """
    found = names(name, n)
    made.add_switches(found, "target", "playfield", wires(at, len(found), "drops"))
    made.add_lamps(found, lamps)
    coil = f"{name}_reset"
    if isinstance(reset, Coil):
        (coil,) = made.add_coils(coil, reset, RESET)
        made.search.append((coil, 1, feature or ""))
        made.weak.append(WeakCoilRow(coil, FAILS))
    else:
        coil = f"{reset}_reset"
        made.refer("reset", reset, "drops")
    made.latched += found
    made.latches += [DropTargetRow(switch, coil, *RAISED) for switch in found]
    for switch, (reach, _closed, back, side) in zip(found, touches(touch, HIT, len(found)), strict=True):
        steps: Steps = (("drop", reach, switch), ("rest", back, f"flipper.{side}"))
        made.add_shot(shot_name(switch), steps, _help(help, switch, name, _target(switch)))


def spinner(
    made: Expansion,
    name: Name,
    *,
    at: Place,
    lamp: Lamp | None = None,
    touch: Touch | None = None,
    help: str = "",
) -> None:
    """A spinner: its shot turns it."""
    made.add_switches([name], "spinner", "playfield", wires(at, 1, "spinner"))
    made.add_lamps([name], lamp)
    ((reach, closed, back, side),) = touches(touch, Touch(220, 8, 700, "right"), 1)
    steps: Steps = (("spin", reach, name, closed, 34, 2, "turns"), ("rest", back, f"flipper.{side}"))
    made.add_shot(shot_name(name), steps, help or f"through the {spoken(name)}", options=(TURNS,))
