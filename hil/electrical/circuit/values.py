"""The values of the reference circuit, used by the netlist, its rules, its fault runs and the tests.

Voltages in V, resistances in Ω, times in s, currents in A. Figures marked mem are from memory: check the
data sheet of what you buy. Figures marked common practice have no source.
"""

from hil.electrical.sums import on_time

COIL_SUPPLY = 48.0
HIGH_MAINS = 1.1  # of the nominal volts: worst corner of common practice
LOGIC = 5.0
LOGIC_SPREAD = 0.05
PICO = 3.3
PICO_VSYS = 5.5  # highest volts at the Pico's VSYS (mem)
RELAY_SUPPLY = 12.0

# The coil that the reference values are checked with; yours go through `inlane coil`.
COIL_OHMS = 4.0
COIL_HENRIES = 0.020
COIL_GAUGE = 24
COIL_FUSE = "1.6 slow"
COIL_FUSE_AMPERES = 1.6
COIL_FUSE_TEXT = "1.6 A slow, 63 V DC"
COIL_INSULATION = "F"
LEAST_OHMS = 2.5  # of a winding on this board (common practice: the strongest flippers)
AT_ONCE = 48.0  # A that a game's SUPPLY_MA may allow at once

MOSFET_VOLTS = 100.0
MOSFET_OHMS = 0.1  # hot, at 5 V gate (mem)
CLAMP_VOLTS = 22.5  # of the 20 V suppressor at 12 A, interpolated from its data (mem)
GATE_SERIES = 47.0
GATE_DOWN = 10e3
DRIVE_DOWN = 10e3

# The on-time stage: an edge passes the capacitor, the resistor takes it away again (sums/on_time.py).
ON_TIME_OHMS = on_time.CLASSES[0][1]
ON_TIME_FARADS = on_time.FARADS
EDGE_SERIES = 470.0
SCHMITT_FALLS = on_time.FALLS
SCHMITT_LEAKS = on_time.LEAK

DRAIN_UPPER = 150e3
DRAIN_LOWER = 100e3  # with its clamp at 3.3 V: a bus of 12 V reads as high as one of 60 V
INPUT_LOW = 0.3  # of the supply: input levels of a 74HC (mem)
INPUT_HIGH = 0.7
CONVERTER_BUS = 31  # coil bus to the converter, 1 to
CONVERTER_LOGIC = 2
CONVERTER_LOWER = 10e3
SHUNT_OHMS = 1e-3
SHUNT_GAIN = 50

ONE_SHOT_K = 0.45  # pulse = K·R·C at 5 V (mem)
GUARD_OHMS = 68e3
GUARD_FARADS = 220e-9
SUPPLY_OHMS = 470e3
SUPPLY_FARADS = 470e-9
FEED_PERIOD = 0.002  # the feed pin turns over once a millisecond
PART_SPREAD = 0.25  # K, R and C together: 10 % + 5 % + 10 %
ENABLE_UP = 10e3
STATE_UPPER = 10e3
STATE_LOWER = 18e3

# The door switch: contact wetted by its load; the supervisor pulls the reset line low against DOOR_TO_CLEAR.
DOOR_SERIES = 47.0
DOOR_LOAD = 470.0
DOOR_TO_CLEAR = 2.2e3
HCT_LOW = 0.8
HCT_HIGH = 2.0

RELAY_OHMS = 90.0  # 12 V, 1.6 W (mem)
RELAY_HENRIES = 0.3  # mem
RELAY_OPENS = 0.010  # s from its coil's current to the contact's opening (mem)
RELAY_ZENER = 24.0
RELAY_VOLTS = 60.0
RELAY_CARRIES = 20.0
RELAY_PEAK = 60.0  # for 0.1 s
RELAY_BREAKS = 30.0  # at 60 V DC

RESERVOIR = 4700e-6
RESERVOIR_RATING = 80.0
BLEEDER_EACH = 5.6e3
BLEEDER = BLEEDER_EACH / 2
BUS_FARADS = 100e-6
BUS_SERIES = 1.0
DISCHARGE_EACH = 4.7e3
BUS_DISCHARGE = DISCHARGE_EACH / 2
PRECHARGE = 47.0
SUPPLY_LIMIT = (10.0, 15.0)  # A: rated, and the most its own limit lets through (150 %, mem)
SUPPLY_OHMS_SOURCE = 0.06  # of the reservoir and its wires (mem)
COIL_FUSE_OHMS = 0.2  # cold, with its wires (mem)
COIL_FUSE_BREAKS = 300.0  # A at 63 V DC (mem)
MAIN_FUSE = 15.0
MAIN_FUSE_BEARS = 300.0  # A²s that it does not melt at (mem: ask the maker's sheet)
MAIN_FUSE_MELTS = (MAIN_FUSE_BEARS, 1000.0)  # A²s that it melts at, least and greatest (mem)
LONGEST_PULSE = 0.060  # s that all of AT_ONCE may flow
MAIN_FUSE_BREAKS = 1000.0  # A at 58 V DC (mem)

WETTING_OHMS = 470.0
INPUT_SERIES = 10e3
INPUT_LOWER = 15e3
DIODE_DROP = 0.75

BACK_UPPER = 1e3
BACK_LOWER = 1.8e3
LINE_SERIES = 220.0

CUE_SERIES = 470.0
CUE_UP = 10e3
AUDIO_OHMS = 1e3  # of the sound box's filter, behind a PWM pin of 3.3 V
AUDIO_FARADS = 10e-9
LOUD_UPPER = 10e3
LOUD_LOWER = 1.3e3

LAMP_GUARD_OHMS = 68e3
LAMP_GUARD_FARADS = 100e-9

RAIL_REFERENCE = 2.495  # V of a TL431 (mem)
RAIL_UPPER = 11.5e3
RAIL_LOWER = 10e3


def high_volts() -> float:
    """Volts of the coil supply at high mains."""
    return COIL_SUPPLY * HIGH_MAINS


def drain_peak() -> float:
    """Highest volts at a drain: high mains, suppressor and diode."""
    return high_volts() + CLAMP_VOLTS + 0.7


def locked_amperes() -> float:
    """Current in A of the strongest coil locked on at high mains, cold."""
    return high_volts() / LEAST_OHMS


def guard_seconds() -> tuple[float, float]:
    """Shortest and longest time in s from the last feed edge until the drives are disabled."""
    return _spread(ONE_SHOT_K * GUARD_OHMS * GUARD_FARADS)


def supply_seconds() -> tuple[float, float]:
    """Shortest and longest time in s from the last feed edge until the supply relays' coils are off."""
    return _spread(ONE_SHOT_K * SUPPLY_OHMS * SUPPLY_FARADS)


def lamp_seconds() -> tuple[float, float]:
    """Shortest and longest time in s from the last latch pulse until the lamps are blanked."""
    return _spread(ONE_SHOT_K * LAMP_GUARD_OHMS * LAMP_GUARD_FARADS)


def _spread(seconds: float) -> tuple[float, float]:
    return seconds * (1 - PART_SPREAD), seconds * (1 + PART_SPREAD)


def on_time_seconds(ohms: float = ON_TIME_OHMS) -> tuple[float, float]:
    """Shortest and longest pulse in s that the on-time stage passes, at its corners."""
    return on_time.passes(ohms)


def drain_reads(volts: float) -> float:
    """Voltage in V that the read-back's divider makes of a drain voltage, before its clamp."""
    return volts * DRAIN_LOWER / (DRAIN_UPPER + DRAIN_LOWER)


def drain_threshold() -> tuple[float, float]:
    """Drain volts up to which the read-back is surely low, and from which it is surely high."""
    return INPUT_LOW * PICO / drain_reads(1.0), INPUT_HIGH * PICO / drain_reads(1.0)


def rail_clamp() -> float:
    """Volts at which the shunt regulator holds the 5 V rail."""
    return RAIL_REFERENCE * (1 + RAIL_UPPER / RAIL_LOWER)


def bus_seconds() -> float:
    """Time constant of the coil bus behind an open relay or door: it discharges itself."""
    return BUS_FARADS * BUS_DISCHARGE


def reservoir_seconds() -> float:
    """Time constant of reservoir and bus together when the supply is switched off and nothing fires."""
    return (RESERVOIR + BUS_FARADS) * BLEEDER * BUS_DISCHARGE / (BLEEDER + BUS_DISCHARGE)


def switch_open() -> float:
    """Voltage in V at a row's input with no switch closed."""
    return LOGIC * INPUT_LOWER / (WETTING_OHMS + INPUT_SERIES + INPUT_LOWER)


def switch_closed() -> float:
    """Voltage in V at a row's input with one switch closed through its diode."""
    return DIODE_DROP * INPUT_LOWER / (INPUT_SERIES + INPUT_LOWER)


def wetting_amperes() -> float:
    """Current in A through a closed matrix switch."""
    return (LOGIC - DIODE_DROP) / WETTING_OHMS


def door_wetting_amperes() -> float:
    """Current in A through the door switch's second pole."""
    return LOGIC / (DOOR_SERIES + DOOR_LOAD)
