"""What a check of charts says, before it becomes a finding: an error, or a note that a line may answer."""

import linecache
from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from hil.checks.chart_source.places import Place
from hil.checks.source import Finding

MEANT = "# meant: "


class Said(NamedTuple):
    """One sentence about a line."""

    text: str
    place: Place
    fatal: bool = True


def findings(said: Iterable[Said], show: Callable[[Place], str]) -> Iterator[Finding]:
    """Every sentence with its place in words; notes are left out where the line ends in `# meant: WHY`."""
    linecache.checkcache()
    for text, place, fatal in said:
        if fatal or MEANT not in linecache.getline(str(place.path), place.line):
            yield Finding(text, show(place), fatal)
