"""The text of wiring.py and host/tables.py, as `inlane machine` writes them."""

from pathlib import Path

from hil.electrical.windings import WindingRow
from hil.machine.printing import WIDTH, literal, table
from hil.machine.tables import HostTables, MachineTables, WiringTables

WIRING = "wiring.py"
HOST = "host/tables.py"
MADE = "Made by `inlane machine` from host/machine.py: change that file, then run the command again."
ABOUT_WIRING = """What is wired where: ids are positions in these tables, and follow the wires.

Times are milliseconds. A coil's numbers are: usual pulse, longest on-time, shortest rest."""
ABOUT_HOST = """Ball routes, shots, keys and windings, which only a host reads. Times are milliseconds.

What is irregular stands in host/routes.py, host/keys.py and host/coils.py: a name there replaces it here."""

SWITCHES = "name, debounce class, zone, row, column; row 0: a direct input and its number"
COILS = "name, class, pulse, longest (0: may stay on), rest, drive"
HEAT = "coil, mA while on, heat budget in ms of on-time, percent of on-time borne for ever"
FLIPPERS = "button, end-of-stroke switch, strong winding, hold winding, longest strong pulse"
SEARCH = "coil, first round it is tried while its hole holds balls, feature behind it"
DEVICES = "name, slots' switches from the exit up, coil, least pulse, leaves after, roll, pass, route out"
BATS = "strong winding, hold winding, end-of-stroke switch, up in, down in"
WHEELS = "motor, index switch, stops, stands at, ms from stop to stop, pulse, pulse at home (stop 0)"
SHOTS = "name, ball from, options (name, least, most, usual, weights when drawn), help, steps"
WOUND = (
    "name, ohms at 20 °C, mH, AWG, insulation class, clamp (zener volts, 0: diode), fuse, s between pulses"
)
WITH_LOADS = "name, ohms, mH, AWG, insulation, clamp (zener volts, 0: diode), fuse, s between pulses, W borne"
SUPPLY = (
    "volts, ohms of supply and wires, smoothed or not, guarded or not, isolated from the mains or not known"
)


def files(made: MachineTables) -> dict[str, str]:
    """The text of each file by its path in the game's folder."""
    return {WIRING: wiring(made.wiring), HOST: host(made.host)}


def wiring(made: WiringTables) -> str:
    """The text of wiring.py."""
    parts = [
        table("SWITCHES", made.SWITCHES, SWITCHES),
        table("LAMPS", made.LAMPS, "name, colour, row, column"),
        table("COILS", made.COILS, COILS),
        table("HEAT", made.HEAT, HEAT),
        [f"SUPPLY_MA = {made.SUPPLY_MA}  # at once"]
        + [f"COIL_VOLTS_LOW_MV = {made.COIL_VOLTS_LOW_MV}  # below it queued coils wait"],
        table("REFLEXES", made.REFLEXES, "switch, coil, pulse, lockout from pulse start"),
        table("FLIPPERS", made.FLIPPERS, FLIPPERS),
        table("SEARCH", made.SEARCH, SEARCH),
    ]
    if made.DISPLAYS:
        parts.append(table("DISPLAYS", made.DISPLAYS, "name, digits, segments of each, what it shows"))
    if made.CHIMES:
        parts.append(table("CHIMES", made.CHIMES, "cue, strokes: coil and ms until the next one"))
    if made.LATCHED:
        parts.append(_names("LATCHED", made.LATCHED, "may rest closed in play: targets that are down"))
    if made.INVERTED:
        parts.append(_names("INVERTED", made.INVERTED, "opto switches: they open for a ball"))
    players = [f"PLAYERS = {made.PLAYERS}  # at most"] if made.PLAYERS else []
    parts.append([*_names("TROUGH", made.TROUGH, ""), f"BALLS = {made.BALLS}", *players])
    return _text(ABOUT_WIRING, parts)


def _names(name: str, values: tuple[str, ...], words: str) -> list[str]:
    """A tuple of names in one line with a comment, a name a line when that is too long."""
    line = f"{name} = {literal(values)}" + (f"  # {words}" if words else "")
    return [line] if len(line) <= WIDTH else table(name, values, words)


def host(made: HostTables) -> str:
    """The text of host/tables.py."""
    parts = [
        [f"BALLS = {made.BALLS}", f"HOME = {literal(made.HOME)}"],
        table("DEVICES", made.DEVICES, DEVICES),
        table(
            "LATCHES", made.LATCHES, "switch that stays closed, coil that raises it, least pulse, open after"
        ),
        table("FLIPPERS", made.FLIPPERS, BATS),
        table("WHEELS", made.WHEELS, WHEELS),
        table("WEAK", made.WEAK, "coil, per cent of its pulses that fail when failures are asked for"),
        table("SHOTS", made.SHOTS, SHOTS),
        table("ROUTES", made.ROUTES, "name, steps: parts of shots and what coils start"),
        table("KEYS", made.KEYS, 'heading, ((key, "switch", "latch" or "shot", name, label), ...)'),
        table("OPTOS", made.OPTOS, "opto switch, its supply"),
    ]
    if made.SUPPLY:
        limited = ", the most amperes it gives" if len(made.SUPPLY) > len(SUPPLY.split(",")) else ""
        parts.append([f"# {SUPPLY}{limited}", f"SUPPLY = {literal(made.SUPPLY)}"])
        loads = any(len(row) == len(WindingRow._fields) for row in made.COILS)
        parts.append(table("COILS", made.COILS, WITH_LOADS if loads else WOUND))
    return _text(ABOUT_HOST, parts)


def _text(about: str, parts: list[list[str]]) -> str:
    body = "\n\n".join("\n".join(lines) for lines in parts)
    return f'"""{MADE}\n\n{about}\n"""\n\n# fmt: off\n{body}\n'


def stale(folder: Path, made: MachineTables) -> list[str]:
    """The files that are not what the machine file gives now, by their paths in the game's folder."""
    return [path for path, text in files(made).items() if _read(folder / path) != text]


def _read(path: Path) -> str | None:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return None
