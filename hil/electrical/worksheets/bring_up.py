"""The bring-up steps, from the logic supply alone to the first coil, each with a bench script."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from hil.game_tables import SettingRow, WiringTables, coil_rows, reflex_rows, switch_rows

HAND_S = 60
FREE_PLAY = "free_play"


@dataclass(frozen=True)
class BringUpStep:
    """One step: what to do, and the script that checks it."""

    title: str
    text: str
    script: str
    write: Callable[[WiringTables], str]


def _head(balls: str) -> list[str]:
    return [f"balls {balls}", ""]


def script(step: BringUpStep, wiring: WiringTables, settings: Iterable[SettingRow]) -> str:
    """The script of a step. A game whose games cost something is played free meanwhile."""
    costs = any(row.name == FREE_PLAY and not row.default for row in settings)
    free = f"set {FREE_PLAY} to 1\n" if costs else ""
    return f"title   Bring-up: {step.title}\n{free}{step.write(wiring)}"


def quiet(wiring: WiringTables) -> str:
    """A script: no coil may fire by itself."""
    lines = _head("moved")
    lines.append("wait 10 s")
    lines += [f"expect coil {row.name} not fired" for row in coil_rows(wiring)]
    return "\n".join(lines) + "\n"


def by_hand(wiring: WiringTables) -> str:
    """A script: close and open each switch by hand, in the order of the table."""
    lines = ["# Close and open each switch by hand, in this order; switches that rest closed first.", ""]
    lines = [*_head("real")[:1], "limit 120 min", "", *lines]
    for row in switch_rows(wiring):
        lines += [
            f"expect switch {row.name} is closed within {HAND_S} s",
            f"expect switch {row.name} is open within {HAND_S} s",
        ]
    return "\n".join(lines) + "\n"


def first_coil(wiring: WiringTables) -> str:
    """A script: fire the trough's eject, the first coil of a game, once."""
    coil = eject(wiring)
    lines = _head("moved")
    lines += [f"press {', '.join(wiring.TROUGH)}", "wait 2 s", "start 1 player"]
    lines += [f"expect coil {coil} fired within 5 s", "mark", f"expect coil {coil} not fired within 200 ms"]
    return "\n".join(lines) + "\n"


def reflexes(wiring: WiringTables) -> str:
    """A script: each reflex once in a running game; the script moves the ball's contacts."""
    lines = _head("moved")
    lines += [f"press {', '.join(wiring.TROUGH)}", "wait 2 s", "start 1 player"]
    lines += [f"expect coil {eject(wiring)} fired within 5 s"]
    lines += [f"release {wiring.TROUGH[-1]}", "press lane", "wait 2 s", "release lane", "wait 1 s"]
    for row in reflex_rows(wiring):
        lines += [f"tap {row.switch}", f"expect coil {row.coil} fired", "wait 500 ms"]
    return "\n".join(lines) + "\n"


def eject(wiring: WiringTables) -> str:
    """The coil that serves a ball: the first whose name begins with `trough`, else the first of the table."""
    names = [row.name for row in coil_rows(wiring)]
    return next((name for name in names if name.startswith("trough")), names[0])


STEPS = (
    BringUpStep(
        "Logic supply only",
        "Coil supply unplugged, coil connectors off. 5 V rail between 4.75 and 5.25 V at TP7. Nothing warm "
        "after a minute. TP8 is above 4 V with the door shut, below 0.3 V with the door open, and below 0.3 "
        "V with the door's plug off. Every drain reads 0 V; /OE (TP4) is high until the board runs, and "
        "goes high again within 10 ms when the Pico's RUN pin is pulled low.",
        "1_logic_only.play",
        quiet,
    ),
    BringUpStep(
        "Every switch by hand",
        "Still without coil supply. Follow the script: it waits a minute for each switch. A switch that "
        "closes another one is wired to the wrong line or lacks its diode.",
        "2_every_switch.play",
        by_hand,
    ),
    BringUpStep(
        "One drive without its coil, 12 V current-limited",
        "A bench supply of 12 V limited to 0.2 A on the coil bus in place of the coil supply; coil "
        "connectors off, a 1 kΩ resistor in place of one coil, the one that the script fires. `inlane "
        "bring-up GAME --coil THE_COIL --port PORT` begins: the board drives this coil alone, refuses every "
        "other, and counts more than 15 V on the coil bus as a fault; its displays show BRING-UP. The bus "
        "LED glows, R205 and R206 make it dark when the door opens. Turn the service key on, and leave it on "
        "until the last step is done: with volts on the coil bus the board takes contacts from a script only "
        "while its own scan reads the key as on. A scope or a lamp beside the resistor "
        "shows each pulse. Without the resistor the drain stays low: the board says that the drive is stuck "
        "on.",
        "3_twelve_volts.play",
        first_coil,
    ),
    BringUpStep(
        "First coil, 12 V current-limited",
        "Limit 3 A. Supply off, this coil's connector on in the resistor's place, its fuse in, supply on. "
        "The coil clicks once and is cold. Whatever other switch you close, no other drive acts: it is "
        "refused, and while no script runs the board's line says which.",
        "4_first_coil.play",
        first_coil,
    ),
    BringUpStep(
        "Door, feed wire and reset, 12 V",
        "The same supply and coil. `inlane bring-up GAME --port PORT --wait 10` asks for each, and ends well "
        "only when the board has seen each fail safe: the door opened; shut, and the guard's feed wire taken "
        "off for a second; put back, and RUN pulled low. Each time /OE (TP4) goes high. **With any other end "
        "the coil supply stays unconnected.** Then the script: the coil works still. The start after that "
        "drives every coil.",
        "5_fail_safe.play",
        first_coil,
    ),
    BringUpStep(
        "First coil, coil supply",
        "**WARNING** From here stored energy can burn and weld. Covers on, door shut, nobody's hand inside, "
        "a second person at the switch. Through the USB isolator only. Everything off; every coil's "
        "connector on, every fuse in (a drain without its coil counts as a drive that is stuck on); on "
        "again. The script: each reflex, coil after coil, feeling each one for heat with the supply off and "
        "measured below 5 V. Then pull the USB plug while a button holds a flipper in a run of a script: "
        "it must drop within 260 ms (a scope on TP2: the dead-man of the line, then the guard), and the "
        "supply relays within 400 ms. Turn the service key off.",
        "6_every_reflex.play",
        reflexes,
    ),
)
