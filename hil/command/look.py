"""How the desk looks when it opens: its window's size, its colours, the panel or chart that is shown."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from firmware.base.errors import UsageError
from firmware.charts.suggest import did_you_mean

if TYPE_CHECKING:
    from simulator.desk.desk import Desk


class Look(NamedTuple):
    """How the desk looks at first; `size` (0, 0): as large as the usual window."""

    chart: str = ""
    panel: str = ""
    palette: str = ""
    size: tuple[int, int] = (0, 0)


AS_USUAL = Look()


def show(desk: "Desk", look: Look) -> None:
    """Let the desk look like this. Raises UsageError: unknown chart, panel or palette."""
    from simulator.desk.palette import PALETTES  # loaded only here: it needs pygame
    from simulator.desk.panels import NAMES

    if look.panel:
        desk.show(_one_of("panel", look.panel, NAMES))
    if look.palette:
        names = [palette.name for palette in PALETTES]
        desk.use(PALETTES[names.index(_one_of("palette", look.palette, names))])
    if look.chart:
        desk.charts.choose(_one_of("chart", look.chart, desk.charts.names()))
        desk.show("charts")


def _one_of(kind: str, name: str, known: Sequence[str]) -> str:
    if name not in known:
        allowed = did_you_mean(name, list(known)) or f"; there are {', '.join(known)}"
        raise UsageError(f"there is no {kind} '{name}'{allowed}")
    return name


def read_size(text: str) -> tuple[int, int]:
    """A window's size, as in 1280x800, (0, 0) for "".

    Raises UsageError: another form, or smaller than what is never cut.
    """
    from simulator.desk.layout import LEAST  # loaded only here: it needs pygame

    if not text:
        return 0, 0
    wide, times, high = text.partition("x")
    if not times or not wide.isdigit() or not high.isdigit():
        raise UsageError(f"--size takes pixels, as in 1280x800, not '{text}'")
    if int(wide) < LEAST[0] or int(high) < LEAST[1]:
        raise UsageError(f"--size is {LEAST[0]}x{LEAST[1]} at least, not '{text}'")
    return int(wide), int(high)
