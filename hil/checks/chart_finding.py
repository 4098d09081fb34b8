"""What a check of charts finds at a line: an error, or a note that the line may answer by `# meant: WHY`."""

import linecache
from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from hil.checks.chart_source.places import Place
from hil.checks.source import Finding

MEANT = "# meant: "


class ChartFinding(NamedTuple):
    """One sentence about a line."""

    text: str
    place: Place
    fatal: bool = True


def findings(problems: Iterable[ChartFinding], show: Callable[[Place], str]) -> Iterator[Finding]:
    """Every sentence with its place in words; notes are left out where the line ends in `# meant: WHY`."""
    linecache.checkcache()
    for text, place, fatal in problems:
        if fatal or MEANT not in linecache.getline(str(place.path), place.line):
            yield Finding(text, show(place), fatal)
