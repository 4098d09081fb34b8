"""What this board refuses: of its own pin table, and of a game's wiring. Runs on the host."""

from boards.pico_matrix import pins
from firmware.devices import chain

STACK = 16384 - 256  # bytes of the main stack that MicroPython lets calls use: linking.py, mpconfigport
STACK_CALLBACK = 800  # the callback (724, as measured) on top of whatever it meets, with what the chip pushes
STACK_SPARE = 4096  # that have to be left at the deepest path that the sources allow
HEAP = 223488  # bytes, as the emulated chip has them
HEAP_BOARD = 52 * 1024  # of it for what is the board's own: its modules, hardware, store
HEAP_SPARE = 16 * 1024  # that have to be left when a game is ready
# On a Pico 2 nothing was measured: the heap is what its linked image leaves (gc_setup_area of MicroPython); a
# Cortex-M33 that used its floating-point unit pushes 72 bytes more, and its timer's handlers take 40 more.
HEAP_PICO_2 = 478144
STACK_CALLBACK_PICO_2 = STACK_CALLBACK + 112
MOST_DISPLAYS, MOST_DIGITS, SEGMENTS = 8, 8, 7  # of displays of digits: a driver chip each, by address
PWM_SLICE = 8  # GPIOs n and n + 16 are the same slice and channel; a slice has two channels
BUSES = {
    # what a used peripheral could also drive, by GPIO modulo its pattern
    "spi0": (0, 1, 2, 3, 4, 5, 6, 7, 16, 17, 18, 19, 20, 21, 22),
    "uart0": (0, 1, 2, 3, 12, 13, 14, 15, 16, 17, 18, 19, 28),
    "i2c0": (0, 1, 4, 5, 8, 9, 12, 13, 16, 17, 20, 21, 24, 25, 28),
}


def check_board(table: "tuple[PinRow, ...]" = ()) -> "list[str]":
    """What is wrong with a pin table, this board's own unless another is given, one sentence each."""
    table = table or pins.PINS
    names = [name for name, _gpio, _direction, _owner, _safe, _what in table]
    wrong: list[str] = []
    for needed in pins.NEEDED:
        if needed not in names:
            wrong.append(f"the board has no '{needed}': without its independent guard it may not drive coils")
    used: dict[int, str] = {}
    for name, gpio, _direction, _owner, _safe, _what in table:
        if gpio in used:
            wrong.append(f"GPIO {gpio} is given to both '{used[gpio]}' and '{name}'")
        elif gpio > 22 and gpio not in (26, 27, 28):
            wrong.append(f"GPIO {gpio} of '{name}' is not brought out on a Pico; it has 0 to 22 and 26 to 28")
        used[gpio] = name
    if pins.GUARD in names:
        wrong += guard_faults(table, table[names.index(pins.GUARD)])
    return wrong


def guard_faults(table: "tuple[PinRow, ...]", guard: "PinRow") -> "list[str]":
    """Peripherals in use that could drive the guard's pin while the program is dead."""
    name, gpio, _direction, owner, _safe, _what = guard
    if owner != "sio":
        return [f"'{name}' is driven by {owner}, which outlives a crash; only plain pin writes may feed it"]
    wrong: list[str] = []
    for other, pin, _d, by, _s, _w in table:
        if by[:3] == "pwm" and pin // 2 % PWM_SLICE == gpio // 2 % PWM_SLICE:
            wrong.append(f"'{name}' on GPIO {gpio} is on the PWM slice of '{other}', which could drive it")
    for bus in sorted(BUSES):
        if gpio in BUSES[bus] and any(by == bus for _n, _g, _d, by, _s, _w in table):
            wrong.append(f"'{name}' on GPIO {gpio} could be driven by {bus}, which the board uses")
    for unit in ("pio0", "pio1"):
        outputs = [pin for _n, pin, way, by, _s, _w in table if by == unit and way == "out"]
        if outputs and min(outputs) < gpio < max(outputs):
            wrong.append(f"'{name}' on GPIO {gpio} lies between outputs of {unit}, which could drive it")
    return wrong


def check_game(wiring: "Wiring") -> "list[str]":
    """What of a game's wiring this board cannot do. Windings and supply are judged by the sums."""
    return _drives(wiring) + _lamps(wiring) + _displays(wiring)


def _displays(wiring: "Wiring") -> "list[str]":
    wrong = []
    rows = getattr(wiring, "DISPLAYS", ())
    if len(rows) > MOST_DISPLAYS:
        wrong.append(f"there are {len(rows)} displays; this board has addresses for {MOST_DISPLAYS}")
    for name, digits, segments, _shows in rows:
        if digits > MOST_DIGITS:
            wrong.append(f"display '{name}' has {digits} digits; a driver of this board has {MOST_DIGITS}")
        if segments != SEGMENTS:
            wrong.append(
                f"display '{name}' has {segments} segments; this board drives {SEGMENTS} and a point"
            )
    return wrong


def _drives(wiring: "Wiring") -> "list[str]":
    wrong: list[str] = []
    used: dict[int, str] = {}
    last = max(pins.HELD_DRIVES)
    for name, _kind, pulse, _longest, _rest, drive in wiring.COILS:
        if not 1 <= drive <= last:
            wrong.append(f"coil '{name}' is on drive {drive}; this board has drives 1 to {last}")
        elif drive in used:
            wrong.append(f"coils '{used[drive]}' and '{name}' are both on drive {drive}")
        used[drive] = name
        if drive in pins.HELD_DRIVES and pulse != -1:
            wrong.append(f"coil '{name}' is pulsed, but drive {drive} is held by PWM; 1 to 24 take pulses")
    return wrong


def _lamps(wiring: "Wiring") -> "list[str]":
    if any(row == 0 for _name, _colour, row, _column in wiring.LAMPS):
        return chain.refusals(wiring)
    wrong: list[str] = []
    used: dict[tuple[int, int], str] = {}
    for name, _colour, row, column in wiring.LAMPS:
        if not (1 <= row <= pins.ROWS and 1 <= column <= pins.COLUMNS):
            wrong.append(f"lamp '{name}' is at row {row}, column {column}; the matrix is 8 × 8")
        elif (row, column) in used:
            wrong.append(f"lamps '{used[row, column]}' and '{name}' share row {row}, column {column}")
        used[row, column] = name
    return wrong


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.devices.wiring import Wiring

    PinRow = tuple[str, int, str, str, int | None, str]
    """Name, GPIO, "in" or "out", who drives it, safe level (None: an input), what it is for."""
