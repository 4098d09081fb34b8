"""What the reference board drives of a game's displays, as a section of the work sheet."""

from hil.game_tables import DisplayRow

FIRST_CHIP = 0x70
CHIPS_A_LINE = 2  # of a line of text, eight characters each
SEVEN = 7
BUS = (
    "LED displays at logic level behind HT16K33 drivers on the displays' I²C pair (`display_data`,"
    " `display_clock`); each driver's address is set by its solder bridges."
)
NOT_THESE = (
    "Plasma, fluorescent and lamp displays, and digits that want BCD and strobes, are **not** driven: an old"
    " machine's own displays are replaced, not connected.\n"
)


def section(displays: tuple[DisplayRow, ...]) -> str:
    """The section as Markdown: each display, its driver and what hangs on it."""
    lines = [
        "## Displays\n",
        f"{BUS} {NOT_THESE}",
        "| display | shows | cells | driver | wired |",
        "|---|---|---|---|---|",
    ]
    return "\n".join([*lines, *(_row(number, row) for number, row in enumerate(displays))]) + "\n"


def _row(number: int, row: DisplayRow) -> str:
    if row.segments == SEVEN:
        chips = f"0x{FIRST_CHIP + number:02X}"
        wired = "segments a to g and the point on rows 0 to 7; digit n from the left on common n"
    else:
        first = FIRST_CHIP + number * CHIPS_A_LINE
        chips = f"0x{first:02X}, 0x{first + 1:02X}"
        wired = "14 segments, point and comma on rows 0 to 15; character n of each eight on common n"
    return f"| {row.name} | {row.shows} | {row.cells} of {row.segments} segments | {chips} | {wired} |"
