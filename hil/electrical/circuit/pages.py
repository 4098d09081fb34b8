"""Pages made of sums: layout notes for whoever draws the board; the on-time stage against the fuse alone."""

from hil.electrical.circuit import values
from hil.electrical.circuit.parts import resistor
from hil.electrical.sums import fault, fuse, heat, track
from hil.electrical.sums.copper import heat_of_winding
from hil.electrical.sums.drive import Drive, Feed, heat_of
from hil.electrical.sums.on_time import CLASSES
from hil.electrical.sums.sizing import work_out
from hil.electrical.sums.supply import TOUCH_DC

CREEPAGE = ((51, 0.6), (101, 1.5))  # V up to which, mm: IPC-2221 outer layer, uncoated (mem)
OUNCES = 2.0


def coil_fuse_squares() -> float:
    """The most ∫i² dt in A²s that the reference coil's fuse lets through before its gate promises it open."""
    chosen = fuse.parse(values.COIL_FUSE)
    amperes = values.high_volts() / values.COIL_OHMS
    seconds = chosen.opens_within(amperes) or 0.0
    return amperes * amperes * seconds


def reservoir_squares() -> float:
    """∫i² dt in A²s of the reservoir into a short on the bus, worst corner."""
    return fault.reservoir_squares(values.high_volts(), values.RESERVOIR * 1.2, values.SUPPLY_OHMS_SOURCE)


def layout() -> str:
    """The layout notes."""
    lines = [
        "# Layout notes",
        "",
        "Written by `python -m hil.electrical.drawings` from the sums in `hil/electrical/sums`; informed "
        "by the",
        "documents named there, no compliance is claimed. The widths are for outer layers.",
        "",
        "| track | carries for ever | fault it outlives | by current alone, IPC-2221, 20 K | width to take |",
        "|---|---|---|---|---|",
        *_tracks(),
        "",
        *_follow(),
        "",
        *_notes(),
    ]
    return "\n".join(lines)


def _notes() -> list[str]:
    """Distance, star point, returns and what lies where."""
    return [
        "- **Distance.** Drains reach "
        f"{values.drain_peak():.0f} V: {_creepage(values.drain_peak()):g} mm between them and anything "
        "else, and"
        f" {_creepage(values.high_volts()):g} mm around the coil bus ({values.high_volts():.1f} V at high"
        f" mains; the same at the {TOUCH_DC:g} V"
        " that a supply may reach)"
        " (IPC-2221, outer layer without coating, mem); twice that where dust from coil sleeves settles",
        "  (common practice, no source).",
        "- **Star point.** The reservoir's negative end is the star point. There, and nowhere else, "
        "meet: the",
        "  supply's 0 V, logic 0 V, the far end of the shunt R208, the earth link R215.",
        "- **Returns.** The sources of all drives go to a bar COIL_0V, and the bar through R208 to the "
        "star point.",
        "  A drive with a wire of its own to the star point passes the shunt by, and its current is not "
        "seen.",
        "- **Loops.** Fuse, diode and suppressor of a drive lie beside its MOSFET and its two connector "
        "pins: the",
        "  loop that opens with full current stays on the board, and small.",
        "- **Shunt.** Four wires: U201's two inputs go to the ends of R208 by tracks of their own.",
        "- **Guard.** U101, U102 and the door's line lie away from the drains; C101 and C102 lie at "
        "their pins.",
        "- **Logic.** A ground plane under the registers that no drive current crosses; 100 nF at each "
        "supply pin.",
        "",
    ]


def _creepage(volts: float) -> float:
    return next(mm for most, mm in CREEPAGE if volts < most)


def _tracks() -> list[str]:
    effective = 1.6
    rows = [
        ("coil fuse to coil and drain to COIL_0V", effective, coil_fuse_squares()),
        ("COIL_BUS and COIL_0V, up to the coil fuses", values.SUPPLY_LIMIT[1], reservoir_squares()),
        ("gates, inputs, registers", 0.1, 0.0),
    ]
    found = []
    for name, amperes, squares in rows:
        alone = track.width_mm(amperes, OUNCES, 20.0)
        take = max(fault.widest(squares, amperes, OUNCES), 0.25)
        found.append(
            f"| {name}, {OUNCES:g} oz | {amperes:g} A | {squares:.0f} A²s | {alone:.2f} mm | {take:.2f} mm |"
        )
    return found


def _follow() -> list[str]:
    """Fault currents followed through fuse, relays, door and track together."""
    amperes = values.high_volts() / values.COIL_OHMS
    chosen = fuse.parse(values.COIL_FUSE)
    alone = track.width_mm(chosen.amperes, 1.0, 10.0)
    melts = fault.melts_after(amperes, alone)
    opens = chosen.opens_within(amperes) or 0.0
    at_once = values.AT_ONCE**2 * values.LONGEST_PULSE
    return [
        f"- **One coil locked on**, {values.COIL_OHMS:g} Ω at {values.high_volts():.1f} V: {amperes:.1f} "
        "A. Its"
        f" {chosen} fuse is promised open within {opens:g} s; a track by IPC-2221 for {chosen.amperes:g} "
        "A alone"
        f" ({alone:.2f} mm, 1 oz, 10 K) melts after {melts:.2f} s (Onderdonk), before the fuse. The width "
        "above"
        " outlives it. The relays break it sooner: the drain is read back, and both feeds stop.",
        f"- **The strongest coil**, {values.LEAST_OHMS:g} Ω: {values.locked_amperes():.1f} A; each relay "
        "is to"
        f" break {values.RELAY_BREAKS:g} A at 60 V DC.",
        f"- **The bus shorted before the coil fuses**: the reservoir gives {reservoir_squares():.0f} A²s, "
        "then the"
        f" bought supply its own limit, at most {values.SUPPLY_LIMIT[1]:g} A: F201 ({values.MAIN_FUSE:g} "
        "A) need"
        " not open, so bus, relays and tracks bear the limit for ever. A supply without a limit of its "
        "own: F201"
        " opens.",
        f"- **All at once**: {values.AT_ONCE:g} A for {values.LONGEST_PULSE * 1e3:.0f} ms are"
        f" {at_once:.0f} A²s; F201"
        f" must not melt below {2 * at_once:.0f} A²s (the maker's sheet).",
        "- **The door switch** carries the relays' coils, "
        f"{2 * values.RELAY_SUPPLY / values.RELAY_OHMS:.2f} A at 12 V DC, and no coil current.",
    ]


def on_time() -> str:
    """The on-time stage against the fuse alone, with a table by class."""
    low, high = values.on_time_seconds()
    lines = [
        "# A second limit on on-time, without code",
        "",
        "Written by `python -m hil.electrical.drawings` from the sums; prices are common practice, no "
        "source.",
        "",
        "Each drive's register output reaches its MOSFET through C1: only the edge passes, R5 takes it "
        "away, and the",
        f"Schmitt buffer switches off after {low * 1e3:.0f} to {high * 1e3:.0f} ms whatever the code, the "
        "register",
        "or the chain do. D4 empties C1 within a few milliseconds once the output is low. It does not "
        "help when the",
        "MOSFET itself is shorted: then read-back, relays and fuse act, as without it.",
        "",
        "| class | resistor R5 | on-time passed, least and most | an output stuck on | fuse alone |",
        "|---|---|---|---|---|",
        *_classes(),
        "| hold winding (120 Ω and more) | link for C1 | for ever | bears it: sized for it, own fuse | "
        "the same |",
        "| held by PWM, 10 % at 1 kHz | as 60 ms | for ever: each pulse is an edge | ends as 60 ms | as "
        "60 ms |",
        "| motor | link for C1 | for ever | own fuse, the code's limit | the same |",
        "",
        *_seen(),
    ]
    return "\n".join(lines)


def _seen() -> list[str]:
    """What the runs show, what to look at, what it costs."""
    return [
        "In ngspice (`tests/reference/test_circuit_faults.py`): a pulse that stays on ends in time at "
        "12, 24, 48 and",
        "52.8 V; 10 % at 1 kHz holds for as long as it comes and ends when it sticks.",
        "",
        "The buffer's input takes at most "
        f"{values.SCHMITT_LEAKS * 1e6:g} µA (mem: some makers allow 5 µA, which 470 kΩ do not take away):",
        "look at the data sheet of what you buy. `inlane check`, `inlane coil` and the work sheets name R5",
        "of each coil of a game, and refuse a coil that is on for longer than any value passes.",
        "",
        "It costs seven small parts a drive, some 0.4 in any big currency, ten for the board (no "
        "source), and the",
        "coil it saves is the one whose code is wrong while the guard is still fed. It is in the "
        "reference circuit.",
        "What it does not see: code that switches on and off in turn; the heat budget of the firmware does.",
        "",
    ]


def _classes() -> list[str]:
    found = []
    for longest, ohms in CLASSES:
        name = f"{longest * 1e3:g} ms"
        low, high = values.on_time_seconds(ohms)
        part = resistor("R", ohms, "a", "b")
        seconds, fused = locked_celsius()
        found.append(
            f"| pulsed, up to {name} | {part.value} | {low * 1e3:.0f} ms, {high * 1e3:.0f} ms |"
            f" {warmed(high):.1f} K in {values.COIL_OHMS:g} Ω of AWG {values.COIL_GAUGE} |"
            f" {seconds:g} s, {fused - 40:.0f} K |"
        )
    return found


def warmed(seconds: float) -> float:
    """Rise in K of the reference winding in one pulse at high mains, from 40 °C."""
    copper_heat = heat_of_winding(values.COIL_OHMS, values.COIL_GAUGE)
    return heat.warm(values.high_volts(), values.COIL_OHMS, copper_heat, seconds, 40.0) - 40.0


def locked_celsius() -> tuple[float, float]:
    """Longest time in s until the coil's fuse opens, and the winding's °C by then."""
    drive = Drive(
        "reference",
        ohms=values.COIL_OHMS,
        feed=Feed(values.COIL_SUPPLY, 0.3),
        pulse=0.030,
        period=3.0,
        henries=values.COIL_HENRIES,
        copper_heat=heat_of(values.COIL_OHMS, values.COIL_GAUGE, None),
        insulation=values.COIL_INSULATION,
        clamp="zener",
        zener=values.CLAMP_VOLTS,
        rating=values.MOSFET_VOLTS,
        fuse=fuse.parse(values.COIL_FUSE),
    )
    sums = work_out(drive)
    return sums.fuse_opens or 0.0, sums.locked_celsius or 0.0
