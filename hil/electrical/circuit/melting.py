"""Runs in which the guard is gone too and a fuse has to melt: when it opens, and what its path bears.

A fuse's ∫i² dt is from the gates of its standard (sums/fuse.py), F201's from memory; nothing is led away
while it warms, which is right for fractions of a second. What must open is taken at its greatest ∫i² dt,
what must stay whole at its least.
"""

from collections.abc import Callable
from dataclasses import replace

from hil.electrical.circuit import values
from hil.electrical.circuit.fault_runs import READY, STOP, Must, Run, feed
from hil.electrical.circuit.netlist import Circuit
from hil.electrical.circuit.pages import OUNCES, coil_fuse_squares, reservoir_squares
from hil.electrical.circuit.parts import capacitor, resistor
from hil.electrical.sums import fault, fuse

SHORT = 0.05  # Ω of a MOSFET that failed, or of two wires that touch
GONE = 0.5  # A, less than an arc needs
OUTPUT_FARADS = 100e-6  # of the bought supply, and the board's own beside the connector
NO_LIMIT = 200.0  # A of a supply without a limit of its own
RELAY_SQUARES = values.RELAY_PEAK**2 * 0.1  # A²s of its peak rating
BUS_SECONDS = 0.100


def coil_fuse_melts() -> tuple[float, float]:
    """Least and greatest melting ∫i² dt in A²s of the coil's fuse: its gate at ten times its rating."""
    chosen = fuse.parse(values.COIL_FUSE)
    times, least, most = chosen.kind.gates[-1]
    squares = (times * chosen.amperes) ** 2
    return squares * least, squares * most


def coil_fuse_opens() -> float:
    """Longest time in s until the coil's fuse has melted with its drive shorted, coil cold, at 48 V."""
    amperes = values.COIL_SUPPLY / (values.COIL_OHMS + SHORT + 3 * values.COIL_FUSE_OHMS)
    return coil_fuse_melts()[1] / amperes**2


def drive_track() -> float:
    """A²s at which a drive's track of the layout notes melts, by Onderdonk's formula."""
    return _onderdonk(fault.widest(coil_fuse_squares(), values.COIL_FUSE_AMPERES, OUNCES))


def bus_track() -> float:
    """A²s at which the bus's track of the layout notes melts, by Onderdonk's formula."""
    return _onderdonk(fault.widest(reservoir_squares(), values.SUPPLY_LIMIT[1], OUNCES))


def page() -> str:
    """The page on fuses that melt: ∫i² dt, times, what the path bears, and where each figure is from."""
    least, most = coil_fuse_melts()
    low, high = values.MAIN_FUSE_MELTS
    chosen = fuse.parse(values.COIL_FUSE)
    return "\n".join(
        [
            "# When a fuse has to melt",
            "",
            "Written by `python -m hil.electrical.drawings` from the sums. The guard opens the relays long"
            " before; here both",
            "are welded shut. ngspice runs it (`tests/reference/test_circuit_melting.py`); nothing is led"
            " away while a fuse warms.",
            "Where the standard promises an opening, at this current after 3 s only, the drive's track bears"
            " that too (layout notes).",
            "",
            "| what | melts at, or bears | from |",
            "|---|---|---|",
            f"| F301, {chosen} | {least:.0f} to {most:.0f} A²s | {chosen.kind.source}: its gate at ten times"
            " the rating |",
            f"| F201, {values.MAIN_FUSE:g} A | {low:.0f} to {high:.0f} A²s | mem: ask the maker's sheet |",
            f"| a drive's track | {drive_track():.0f} A²s | Onderdonk, the width of the layout notes |",
            f"| the bus's track | {bus_track():.0f} A²s | Onderdonk, the width of the layout notes |",
            f"| K1, K2 | {RELAY_SQUARES:.0f} A²s | their peak rating, {values.RELAY_PEAK:g} A for 0.1 s |",
            "",
            "| fault | what opens, by when | what stays whole |",
            "|---|---|---|",
            f"| a drive shorted, {values.COIL_OHMS:g} Ω at {values.COIL_SUPPLY:g} V | F301, within"
            f" {coil_fuse_opens():.2f} s | F201, relays, both tracks with half of their A²s to spare |",
            "| its coil shorted too: the reservoir's charge | F301 where it melts early; else K3 drops"
            f" and R201 limits, within {BUS_SECONDS * 1e3:.0f} ms | the same |",
            f"| the bus shorted, supply limited to {values.SUPPLY_LIMIT[1]:g} A | K3 drops within"
            f" {BUS_SECONDS * 1e3:.0f} ms, R201 lets {values.high_volts() / values.PRECHARGE:.1f} A"
            " through until it opens | F201 (it need not open), relays, the bus's track |",
            f"| the bus shorted, a supply of {NO_LIMIT:g} A | F201, within {BUS_SECONDS * 1e3:.0f} ms |"
            " the bus's track; the relays may weld: replace them |",
            "",
        ]
    )


def _onderdonk(width_mm: float) -> float:
    return fault.melts_after(1.0, width_mm, OUNCES)


def melting_runs() -> list[Run]:
    """Both relays stay shut, as if welded: every feed goes on."""
    return [_drive_shorted(), _coil_shorted_too(), _bus_shorted(), _bus_shorted_without_limit()]


def _run(name: str, must: tuple[Must, ...], change: Callable[[Circuit], Circuit], stop: float) -> Run:
    """A run of its own length: what has no end of its own must hold until the run's."""
    must = tuple(replace(one, end=stop) if one.end == STOP else one for one in must)
    fed = {"says_guard_feed": feed(stop), "says_supply_feed": feed(stop), "asked_drive_1": "0"}
    return Run(name, must, change, fed, stop=stop)


def _melting(circuit: Circuit, mark: str, squares: float) -> Circuit:
    return circuit.changed(mark, ratings={**circuit[mark].ratings, "melts": squares})


def _both_fuses(circuit: Circuit) -> Circuit:
    """The coil's fuse at its greatest ∫i² dt, the bus's at its least."""
    fused = _melting(_melting(circuit, "F301", coil_fuse_melts()[1]), "F201", values.MAIN_FUSE_MELTS[0])
    return fused.added(capacitor("CSUPPLY", OUTPUT_FARADS, 63, "SUPPLY+", "0V"))


def _shorted_drive(circuit: Circuit) -> Circuit:
    return _both_fuses(circuit).added(resistor("RSHORT", SHORT, "DRAIN_1", "COIL_0V"))


def _shorted_coil(circuit: Circuit) -> Circuit:
    coil = {**circuit["L301"].ratings, "ohms": SHORT}
    return _shorted_drive(circuit).changed("L301", size=1e-5, ratings=coil)


def _shorted_bus(circuit: Circuit) -> Circuit:
    return _both_fuses(circuit).added(resistor("RSHORT", SHORT, "COIL_BUS", "COIL_0V"))


def _unlimited_bus(circuit: Circuit) -> Circuit:
    source = {**circuit["PS1"].ratings, "limit": NO_LIMIT}
    spoilt = _shorted_bus(circuit).changed("PS1", ratings=source)
    return _melting(spoilt, "F201", values.MAIN_FUSE_MELTS[1])


def _survives() -> tuple[Must, ...]:
    """The path of one drive outlives its fuse, and the bus's fuse stays whole."""
    return (
        Must("the drive's track bears it", "v(qF301)", drive_track() / 2, 0),
        Must("the bus's track bears it", "v(qF201)", bus_track() / 2, 0),
        Must("the relays bear it", "v(qF201)", RELAY_SQUARES, 0),
        Must("the bus's fuse stays whole", "v(qF201)", values.MAIN_FUSE_MELTS[0], 0),
    )


def _drive_shorted() -> Run:
    opens = READY + coil_fuse_opens()
    return _run(
        "a drive shorted, relays welded: the coil's fuse",
        (
            Must(
                "it has not melted before its least ∫i² dt", "i(lL301)", 8.0, READY, READY + 0.02, above=True
            ),
            Must(f"the coil's fuse is open after {coil_fuse_opens():.2f} s", "i(lL301)", GONE, opens),
            Must("the relays carry it", "par('abs(i(vwK1))')", values.RELAY_CARRIES, READY),
            *_survives(),
        ),
        _shorted_drive,
        opens + 0.03,
    )


def _coil_shorted_too() -> Run:
    """The reservoir's charge, too little for a slow fuse; then K3 drops and R201 is left."""
    end = READY + BUS_SECONDS
    left = values.high_volts() / values.PRECHARGE
    must = (Must("the pre-charge resistor limits it", "i(lL301)", left, end), *_survives())
    return _run("a drive and its coil shorted, relays welded", must, _shorted_coil, end + 0.05)


def _bus_shorted() -> Run:
    """The reservoir falls, K3 with it, and the pre-charge resistor is what is left."""
    left = values.high_volts() / values.PRECHARGE
    return _run(
        "the bus shorted before the coil fuses",
        (
            Must("the pre-charge resistor limits it", "par('abs(i(vfF201))')", left, READY + BUS_SECONDS),
            Must("the bus's track bears it", "v(qF201)", bus_track() / 2, 0),
            Must("the relays bear it", "v(qF201)", RELAY_SQUARES, 0),
        ),
        _shorted_bus,
        READY + BUS_SECONDS + 0.05,
    )


def _bus_shorted_without_limit() -> Run:
    return _run(
        "the bus shorted, a supply without a limit: the bus's fuse",
        (
            Must("the bus's fuse is open", "par('abs(i(vfF201))')", GONE, READY + BUS_SECONDS),
            Must("it melts", "v(qF201)", values.MAIN_FUSE_MELTS[1] * 0.99, READY + BUS_SECONDS, above=True),
            Must("the bus's track bears it", "v(qF201)", bus_track() / 2, 0),
        ),
        _unlimited_bus,
        READY + BUS_SECONDS + 0.05,
    )
