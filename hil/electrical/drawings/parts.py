"""The parts of the reference circuit: what, which rating, and why. Part names are examples of a kind any
distributor has; figures from memory are to be checked in the data sheet of what you buy.
"""

from hil.electrical.drawings import values
from hil.electrical.sums.supply import Reservoir

Row = tuple[str, str, str, str]


def rows() -> list[Row]:
    """Every part as (mark, part, rating, reason), with figures from the values of the drawings."""
    return [
        *_switch(),
        *_clamp(),
        *_protection(),
        *_guard(),
        *_supply(),
        *_contacts(),
        *_inputs(),
        *_lamps(),
        *_logic(),
    ]


def _switch() -> list[Row]:
    """The MOSFET of a drive and its gate resistors."""
    high = values.COIL_SUPPLY * 1.1
    peak = high + values.CLAMP_VOLTS + 0.7
    amperes = values.COIL_SUPPLY / values.COIL_OHMS
    return [
        (
            "Q1",
            "N-channel MOSFET, logic level (IRL540N)",
            f"{values.MOSFET_VOLTS:.0f} V, at least {2 * amperes:.0f} A, on-resistance stated at 4"
            " to 5 V gate",
            f"the drain reaches {peak:.0f} V, which must stay below 80 % of the rating; a MOSFET that is only"
            " half on at 5 V burns",
        ),
        (
            "RG",
            "resistor",
            f"{values.GATE_SERIES:.0f} Ω",
            "tames ringing and parts the register from the gate",
        ),
        (
            "RD",
            "resistor",
            f"{values.GATE_DOWN / 1e3:.0f} kΩ",
            "off while nothing drives the gate: at power-up, with /OE high, with a wire off",
        ),
    ]


def _clamp() -> list[Row]:
    """The clamps of both kinds of drive."""
    amperes = values.COIL_SUPPLY / values.COIL_OHMS
    return [
        (
            "D1, pulsed",
            "rectifier (1N5402 or better)",
            "200 V, 3 A",
            "in series with D2, keeps it out while on",
        ),
        (
            "D2, pulsed",
            "suppressor, one direction (1.5KE20A)",
            f"20 V, 1.5 kW, about {values.CLAMP_VOLTS:g} V at {amperes:.0f} A (mem)",
            "quick release; its voltage adds to the supply's at the drain",
        ),
        (
            "D1, held",
            "ultrafast rectifier (MUR420)",
            "200 V, 4 A, below 50 ns",
            "carries the current between PWM pulses; a zener here would let nothing hold",
        ),
    ]


def _protection() -> list[Row]:
    """The fuse and the read-back of a drive."""
    return [
        (
            "F, one a coil",
            "cartridge fuse, rated for DC at the supply's voltage",
            f"{values.COIL_FUSE.replace(' ', ' A ')} for {values.COIL_OHMS:g} Ω at"
            f" {values.COIL_SUPPLY:.0f} V;"
            " yours by `inlane coil`",
            "opens on this one coil locked on before its winding burns; a common fuse does not",
        ),
        (
            "R1, R2, D3",
            "resistors, BAT54S",
            f"{values.DRAIN_UPPER / 1e3:.0f} kΩ, {values.DRAIN_LOWER / 1e3:.0f} kΩ, 30 V",
            "drain read-back: a drive that is on without being asked, an open fuse or coil is seen",
        ),
    ]


def _guard() -> list[Row]:
    fast, slow = values.guard_seconds(), values.supply_seconds()
    return [
        (
            "U1",
            "74HCT423, two one-shots",
            f"{values.GUARD_OHMS / 1e3:.0f} kΩ and {values.GUARD_FARADS * 1e9:.0f} nF;"
            f" {values.SUPPLY_OHMS / 1e3:.0f} kΩ and {values.SUPPLY_FARADS * 1e9:.0f} nF, film",
            f"A drops the drives {fast[0] * 1e3:.0f} to {fast[1] * 1e3:.0f} ms after the last feed"
            " edge, B the"
            f" supply after {slow[0] * 1e3:.0f} to {slow[1] * 1e3:.0f} ms; not the 123, which"
            " starts a pulse when its"
            " reset ends",
        ),
        (
            "U2",
            "74HCT595 × 3",
            "5 V supply, /OE pulled up by 10 kΩ",
            "24 drives; nothing but U1A can enable them",
        ),
        ("U3", "74HCT125", "5 V, same /OE", "puts the two PWM pins behind the same guard"),
        (
            "reset supervisor",
            "MCP130-450",
            "4.5 V, open drain",
            "no enable while the 5 V rail is low or rising",
        ),
        ("inverter", "74HCT1G04", "5 V", "tells the Pico that the door is open; nothing depends on it"),
        ("Q2", "N-channel MOSFET, logic level", "60 V, 1 A", "drives the supply relay"),
    ]


def _supply() -> list[Row]:
    nominal = Reservoir(values.COIL_SUPPLY, values.RESERVOIR)
    worst = nominal.worst()
    return [
        (
            "coil supply",
            "bought, enclosed, isolated, certified unit",
            f"{values.COIL_SUPPLY:.0f} V DC, at most 60 V in any fault",
            "the mains side is no part of this project, nor of your work",
        ),
        (
            "F0",
            "cartridge fuse",
            f"{values.MAIN_FUSE:g} A slow, 63 V DC or more",
            "the wiring's own protection",
        ),
        (
            "C1",
            "electrolytic",
            f"{values.RESERVOIR * 1e6:.0f} µF, {values.RESERVOIR_RATING:.0f} V, 105 °C",
            f"the bus stands when several coils fire; {worst.volts:.0f} V at high mains is two"
            " thirds of the rating",
        ),
        (
            "RB",
            "resistor, 5 W, two in parallel of 5.6 kΩ are safer than one",
            f"{values.BLEEDER / 1e3:.1f} kΩ",
            f"takes {worst.watts(values.BLEEDER):.1f} W; 10 V after"
            f" {worst.seconds_to(10, values.BLEEDER):.0f} s at the"
            " worst corner",
        ),
        (
            "RP, K2",
            "fusible resistor 5 W; relay, coil 48 V DC",
            f"{values.PRECHARGE:.0f} Ω; contact 10 A",
            "charging current stays below"
            f" {worst.volts / values.PRECHARGE:.1f} A; if K2 never pulls in, coils are weak and"
            " the resistor opens",
        ),
    ]


def _contacts() -> list[Row]:
    """What interrupts the coil supply, and empties the bus behind it."""
    return [
        (
            "K1",
            "relay with two contacts in series, printed DC rating",
            f"{values.COIL_SUPPLY:.0f} V DC at {values.MAIN_FUSE:g} A or more",
            "an AC rating says nothing of a DC arc; else put it on the AC side",
        ),
        (
            "S1",
            "two-pole door switch, forced opening, printed DC rating",
            f"{values.COIL_SUPPLY:.0f} V DC, {values.MAIN_FUSE:g} A",
            "one pole in the coil supply itself, behind the reservoir; one resets the guard",
        ),
        (
            "RX",
            "resistor, 5 W",
            f"{values.BUS_DISCHARGE / 1e3:.1f} kΩ",
            "empties the bus when the door opens",
        ),
        ("LED1, LED2", "red LED, 10 kΩ 0.5 W", "5 mA", "lit: energy is stored; dark proves nothing, measure"),
    ]


def _inputs() -> list[Row]:
    return [
        (
            "pull-ups",
            "resistor 0.25 W",
            f"{values.WETTING_OHMS:.0f} Ω",
            f"{values.wetting_amperes() * 1e3:.0f} mA keep the contacts clean",
        ),
        (
            "input chain",
            f"{values.INPUT_SERIES / 1e3:.0f} kΩ, {values.INPUT_LOWER / 1e3:.0f} kΩ, BAT54S",
            "0.25 W",
            "levels for 3.3 V, and a touch of the coil bus does not reach the Pico",
        ),
        (
            "U8",
            "74HC165 × 5",
            "3.3 V supply",
            "rows, direct inputs and drain read-backs; its output goes straight into the Pico",
        ),
        (
            "U9",
            "74HCT595",
            "5 V supply",
            "the columns: Q3 is only fully on with 5 V at its gate; HCT hears the Pico's 3.3 V",
        ),
        (
            "loop-back",
            "resistors",
            f"{values.BACK_UPPER / 1e3:.0f} kΩ, {values.BACK_LOWER / 1e3:.1f} kΩ",
            "brings the drive chain's 5 V down to the Pico, fast enough for 8 MHz",
        ),
        ("Q3", "2N7002", "60 V", "a column is pulled to 0 V by 50 mV, which a Darlington could not"),
        ("a diode a switch", "1N4148", "75 V", "without it three closed switches read as four"),
    ]


def _lamps() -> list[Row]:
    low, high = values.lamp_seconds()
    return [
        (
            "U6",
            "half 74HCT423, 74HCT1G32",
            f"{values.LAMP_GUARD_OHMS / 1e3:.0f} kΩ, {values.LAMP_GUARD_FARADS * 1e9:.0f} nF",
            f"blanks the lamps {low * 1e3:.0f} to {high * 1e3:.0f} ms after the last latch pulse",
        ),
        ("Q5, Q6", "2N7002; P-channel 30 V, 5 A", "12 V rail", "eight lamps of 80 mA a column"),
        ("Q7", "N-channel MOSFET, logic level", "60 V, 1 A", "one lamp at a time a row"),
    ]


def _logic() -> list[Row]:
    return [
        (
            "5 V supply",
            "bought, isolated",
            "5 V, 2 A",
            "apart from the coil supply; they meet at the star point",
        ),
        (
            "suppressor",
            "SMBJ5.0A or 5.6 V",
            "600 W",
            "holds the rail when a playfield wire touches the coil bus",
        ),
        ("1N5817", "Schottky", "20 V, 1 A", "feeds VSYS; nothing flows back"),
        ("USB isolator", "bought", "1 kV or more", "the bench's computer never shares the coils' ground"),
        (
            "RS, U7",
            "shunt and amplifier (INA180A2, gain 50, mem), on 3.3 V",
            "1 mΩ, 3 W; 50 mV an ampere, 66 A at 3.3 V",
            "current of the coil supply, in its 0 V line at the star point; not fitted: ADC pin to 0 V",
        ),
        ("FRAM", "FM24CL64B", "8 KB, I²C", "settings and kept values: no erase, no blind time"),
    ]


def table() -> str:
    """The parts list as a Markdown table."""
    lines = ["| mark | part | rating | why |", "|---|---|---|---|"]
    lines += ["| " + " | ".join(row) + " |" for row in rows()]
    return "\n".join(lines) + "\n"
