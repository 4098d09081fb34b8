"""The fault runs of the reference circuit, by name."""

from collections.abc import Callable

from hil.electrical.circuit import values
from hil.electrical.circuit.fault_runs import (
    DRIVES_OFF,
    FAULT,
    FIRE,
    READY,
    RELEASE,
    STOP,
    SUPPLY_OFF,
    Must,
    Run,
    bus_open,
    feed,
    off,
    step,
)
from hil.electrical.circuit.netlist import Circuit
from hil.electrical.circuit.parts import resistor

AT_ONCE = 0.001
DETECTED = 0.058  # s from a drive stuck on until the firmware stops both feeds (boards/pico_matrix/README.md)
PICO_HIGH, PICO_LOW = 2.0, 0.8  # V, RP2040 inputs at 3.3 V (mem)
HC_HIGH, HC_LOW = values.INPUT_HIGH * values.PICO, values.INPUT_LOW * values.PICO
COIL_GONE = 0.1  # A
HOLD = "pulse(0 1 0.034 1u 1u 0.0001 0.001)"


def unlimited(circuit: Circuit) -> Circuit:
    """The first drive with a link in place of its on-time capacitor, as at a hold winding."""
    return circuit.changed("C3011", kind="resistor", value="0 Ω link", size=0.01)


def usual_runs() -> list[Run]:
    """Everything well, at every voltage of the coil bus: drives fire, are read back and measured."""
    found = [_well(volts) for volts in (12.0, 24.0, 48.0, values.high_volts(), 60.0)]
    return [*found, _held_by_pwm(), _wire_on_the_bus()]


def _well(volts: float) -> Run:
    amperes = volts * 0.6 / (values.COIL_OHMS + values.MOSFET_OHMS + 0.3)
    limited = FIRE + values.on_time_seconds()[1]
    read = "v(n_back_1)"
    peak = "v(n_drain_1)"
    return Run(
        f"coil bus at {volts:g} V",
        (
            Must("fed and shut, coils are enabled", "v(n_not_enable)", 0.5, READY, STOP),
            Must("the Pico sees the enable", "v(n_guard_state)", PICO_LOW, READY),
            Must("the Pico sees the door shut", "v(n_interlock)", PICO_LOW, READY),
            Must("the bus is up", "v(n_coil_bus)", 0.9 * volts - 1, READY, FIRE, above=True),
            Must("an idle drain reads high", read, HC_HIGH, READY, FIRE, above=True),
            Must("the coil draws its current", "i(lL301)", amperes, 0.042, 0.046, above=True),
            Must("a driven drain reads low", read, HC_LOW, 0.036, 0.090),
            Must(
                "the shunt sees the coil",
                "v(n_coil_amperes)",
                amperes * 0.05 * 0.98,
                0.042,
                0.046,
                above=True,
            ),
            Must("the pulse ends by itself", "v(n_gate_1)", 1.0, limited),
            Must("the drain stays below 80 % of its MOSFET's volts", peak, 0.8 * values.MOSFET_VOLTS, 0),
        )
        if volts < 55
        else (Must("an idle drain reads high", read, HC_HIGH, READY, FIRE, above=True),),
        stimuli={"supply_PS1": repr(volts)},
    )


def _held_by_pwm() -> Run:
    """10 % at 1 kHz holds for as long as it comes; full on ends by itself."""
    stuck = 0.130
    hold = f"pwl({' '.join(_pwm(0.034, stuck))} {stuck!r} 0 {stuck + 1e-6!r} 1)"
    limited = stuck + values.on_time_seconds()[1]
    return Run(
        "a drive held by PWM, later stuck on",
        (
            Must("it is held", "i(lL425)", 0.6, 0.060, stuck, above=True),
            Must("it stays cool", "i(lL425)", 2.0, 0.060, stuck),
            Must("stuck on, it ends by itself", "v(n_gate_25)", 1.0, limited, 0.34),
        ),
        stimuli={
            "asked_drive_1": "0",
            "says_hold_a": hold,
            "says_guard_feed": feed(0.34),
            "says_supply_feed": feed(0.34),
        },
        stop=0.34,
    )


def _pwm(start: float, end: float) -> list[str]:
    points = ["0 0"]
    time = start
    while time < end - 0.001:
        points.append(f"{time!r} 0 {time + 1e-6!r} 1 {time + 1e-4!r} 1 {time + 1.01e-4!r} 0")
        time = round(time + 0.001, 6)
    return points


def _wire_on_the_bus() -> Run:
    """A playfield wire on the coil bus: its pull-up brings current into the 5 V rail until it burns."""
    return Run(
        "a wire of a direct input on the coil bus",
        (
            Must("the Pico's supply stays within what it bears", "v(n_vsys)", values.PICO_VSYS, 0),
            Must("the rail stays below the HCT chips' 5.5 V", "v(n_5v)", 5.5, 0),
            Must("the input stays within its chip's supply", "v(n_direct_in_1)", 3.3 + 0.5, 0),
        ),
        change=lambda circuit: circuit.added(resistor("RTOUCH", 1, "COIL_BUS", "DIRECT_1")),
        stimuli={"supply_PS1": repr(values.high_volts())},
    )


def fault_runs() -> list[Run]:
    """What fails, and what is off by when."""
    both = {"says_guard_feed": feed(FAULT), "says_supply_feed": feed(FAULT)}
    high = {"says_guard_feed": feed(FAULT, 1), "says_supply_feed": feed(FAULT, 1)}
    guarded = (off(DRIVES_OFF + AT_ONCE), bus_open(SUPPLY_OFF + RELEASE))
    opened = step(FAULT, 1, 0)
    at_once = (off(AT_ONCE), bus_open(RELEASE))
    seen = Must("the Pico sees it", "v(n_interlock)", PICO_HIGH, FAULT + AT_ONCE, above=True)
    low = Must("the reset line is low", "v(n_clear)", 0.3, FAULT + AT_ONCE)
    return [
        Run("both feeds stuck low", guarded, unlimited, both),
        Run("both feeds stuck high", guarded, unlimited, high),
        Run("the guard's feed stuck", guarded[:1], unlimited, {"says_guard_feed": feed(FAULT)}),
        Run("the supply's feed stuck", guarded[1:], unlimited, {"says_supply_feed": feed(FAULT)}),
        Run("door open", (*at_once, seen, low), unlimited, {"door_a": opened, "door_b": opened}),
        Run("door: wire of the reset pole broken", (*at_once, seen, low), unlimited, {"door_b": opened}),
        Run("door: wire of the relays' pole broken", at_once[1:], unlimited, {"door_a": opened}),
        *_supply_faults(),
        *_shorted(),
    ]


def _supply_faults() -> list[Run]:
    """Rails that are missing, fall, or come in the wrong order."""
    dead = Must("no drive ever", "v(n_gate_1)", 1.0, 0)
    idle = Must("no coil current ever", "i(lL301)", COIL_GONE, 0)
    fed = Must("the Pico is not fed through its pins", "v(n_3v3)", 1.0, 0)
    rail = Must("the rail is not fed through the Pico's pins", "v(n_5v)", 2.0, 0)
    falling = "pwl(0 0 0.001 5 0.05 5 0.1 0 0.15 0 0.2 5)"
    brown = Must("no drive below 4.3 V", "par('v(n_5v)<4.3?v(n_gate_1):0')", 1.0, 0)
    gone = {"says_guard_feed": feed(FAULT), "says_supply_feed": feed(FAULT), "pico": step(FAULT, 1, 0)}
    return [
        Run("the Pico is unpowered, 5 V is up", (dead, idle, fed), unlimited, {"pico": "0"}),
        Run(
            "the Pico loses its supply",
            (off(DRIVES_OFF + AT_ONCE), bus_open(SUPPLY_OFF + RELEASE)),
            unlimited,
            gone,
        ),
        Run("the Pico is up, 5 V is missing", (dead, idle, rail), unlimited, {"supply_PS2": "0"}),
        Run("the relays' 12 V is missing", (idle,), unlimited, {"supply_PS3": "0"}, {"C702": 0.0}),
        Run("5 V falls and comes back", (brown,), unlimited, {"supply_PS2": falling}),
    ]


def _shorted() -> list[Run]:
    """A drive that cannot be switched off: the firmware sees its drain, and the relays open."""
    until = FAULT + DETECTED
    feeds = {"says_guard_feed": feed(until), "says_supply_feed": feed(until), "asked_drive_1": "0"}
    open_at = DETECTED + SUPPLY_OFF + RELEASE
    return [
        Run(
            "a MOSFET shorted",
            (
                Must("its drain reads low", "v(n_back_1)", HC_LOW, READY, until),
                bus_open(open_at),
                Must("the coil's current is gone", "i(lL301)", COIL_GONE, FAULT + open_at + 0.030, 0.34),
            ),
            lambda circuit: circuit.added(resistor("RSHORT", 0.05, "DRAIN_1", "COIL_0V")),
            feeds,
            stop=0.34,
        )
    ]


# Parts of the guard that a run opens and shorts, one at a time; not decoupling and test points.
GUARD_PARTS = (
    *(f"R{n}" for n in range(101, 117)),
    *(
        "C101",
        "C102",
        "C105",
        "D101",
        "D102",
        "D103",
        "D104",
        "F101",
        "Q101",
        "K1",
        "K2",
        "U101",
        "U102",
        "U103",
    ),
    "U104",
)
SHORTS = {
    # what a short is, for parts of more than two ends: nets that become one
    "Q101": ("RELAY_LOW", "0V"),
    "K1": ("FUSED", "BETWEEN"),
    "K2": ("BETWEEN", "COIL_BUS"),
    "U101": ("/ENABLE", "0V"),
    "U102": ("RELAY_ON", "5V"),
    "U103": ("CLEAR", "0V"),
    "U104": ("DOOR_OPEN", "0V"),
    "D103": ("CLEAR", "5V"),
}


def single_faults() -> list[Run]:
    """Each part of the guard open and shorted, while the feeds stop and while the door opens."""
    found = []
    stops = {"says_guard_feed": feed(FAULT), "says_supply_feed": feed(FAULT)}
    opens = {"door_a": step(FAULT, 1, 0), "door_b": step(FAULT, 1, 0)}
    for what, stimuli in (("the feeds stop", stops), ("the door opens", opens)):
        for mark in GUARD_PARTS:
            found.append(_single(f"{mark} open, {what}", mark, _open, stimuli))
            found.append(_single(f"{mark} shorted, {what}", mark, _short, stimuli))
    return found


def _single(name: str, mark: str, spoil: Callable[[Circuit, str], Circuit], stimuli: dict[str, str]) -> Run:
    by = SUPPLY_OFF + RELEASE + 0.030
    gone = Must(f"coil off within {by * 1e3:.0f} ms", "i(lL301)", COIL_GONE, FAULT + by)
    return Run(name, (gone,), lambda circuit: spoil(unlimited(circuit), mark), stimuli)


def _open(circuit: Circuit, mark: str) -> Circuit:
    return circuit.without(mark)


def _short(circuit: Circuit, mark: str) -> Circuit:
    part = circuit[mark]
    nets = SHORTS.get(mark) or (part.pins[0].net, part.pins[1].net)
    return circuit.added(resistor("RFAULT", 0.01, *nets))
