"""The values of the reference circuit, used by drawings, parts list and tests.

Voltages in V, resistances in Ω, times in s. Part figures marked mem are from memory: check the data sheet
of what you buy.
"""

COIL_SUPPLY = 48.0
LOGIC = 5.0
PICO = 3.3

# The coil that the reference values are checked with; yours go through `inlane coil`.
COIL_OHMS = 4.0
COIL_HENRIES = 0.020
COIL_GAUGE = 24
COIL_FUSE = "1.6 slow"
COIL_INSULATION = "F"

MOSFET_VOLTS = 100.0
MOSFET_OHMS = 0.1  # hot, at 5 V gate (mem)
CLAMP_VOLTS = 22.5  # of the 20 V suppressor at 12 A, interpolated from its data (mem)
GATE_SERIES = 47.0
GATE_DOWN = 10e3

DRAIN_UPPER = 150e3
DRAIN_LOWER = 100e3  # with its clamp at 3.3 V: a bus of 12 V reads as high as one of 60 V
INPUT_LOW = 0.3  # of the supply: input levels of a 74HC (mem)
INPUT_HIGH = 0.7
CONVERTER_BUS = 31  # coil bus to the converter, 1 to
CONVERTER_LOGIC = 2

ONE_SHOT_K = 0.45  # pulse = K·R·C at 5 V (mem)
GUARD_OHMS = 68e3
GUARD_FARADS = 220e-9
SUPPLY_OHMS = 470e3
SUPPLY_FARADS = 470e-9
FEED_PERIOD = 0.002  # the feed pin turns over once a millisecond
PART_SPREAD = 0.25  # K, R and C together: 10 % + 5 % + 10 %

RESERVOIR = 4700e-6
RESERVOIR_RATING = 80.0
BLEEDER = 2.7e3
BUS_FARADS = 100e-6
BUS_DISCHARGE = 2.2e3
PRECHARGE = 47.0
MAIN_FUSE = 6.3

WETTING_OHMS = 470.0
INPUT_SERIES = 10e3
INPUT_LOWER = 15e3
DIODE_DROP = 0.75

BACK_UPPER = 1e3
BACK_LOWER = 1.8e3

LAMP_GUARD_OHMS = 68e3
LAMP_GUARD_FARADS = 100e-9


def guard_seconds() -> tuple[float, float]:
    """Shortest and longest time in s from the last feed edge until the drives are disabled."""
    return _spread(ONE_SHOT_K * GUARD_OHMS * GUARD_FARADS)


def supply_seconds() -> tuple[float, float]:
    """Shortest and longest time in s from the last feed edge until the supply relay drops."""
    return _spread(ONE_SHOT_K * SUPPLY_OHMS * SUPPLY_FARADS)


def lamp_seconds() -> tuple[float, float]:
    """Shortest and longest time in s from the last latch pulse until the lamps are blanked."""
    return _spread(ONE_SHOT_K * LAMP_GUARD_OHMS * LAMP_GUARD_FARADS)


def _spread(seconds: float) -> tuple[float, float]:
    return seconds * (1 - PART_SPREAD), seconds * (1 + PART_SPREAD)


def drain_reads(volts: float) -> float:
    """Voltage in V that the read-back's divider makes of a drain voltage, before its clamp."""
    return volts * DRAIN_LOWER / (DRAIN_UPPER + DRAIN_LOWER)


def drain_threshold() -> tuple[float, float]:
    """Drain volts up to which the read-back is surely low, and from which it is surely high."""
    return INPUT_LOW * PICO / drain_reads(1.0), INPUT_HIGH * PICO / drain_reads(1.0)


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
