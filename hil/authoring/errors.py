"""What is wrong with a description, in one sentence with its place."""

from collections.abc import Iterable

from firmware.base.errors import InlaneError
from firmware.charts.suggest import did_you_mean


class DescriptionError(InlaneError):
    """A description that cannot become a rule. The author of the description can cause it."""


def near_miss(word: str, known: Iterable[str]) -> str:
    """Advice for a word that is not known: the near miss, else all that are (twelve at most)."""
    names = sorted(set(known))
    near = did_you_mean(word, names)
    if near:
        return near
    few = names[:12]
    return f"; there are {', '.join(few)}{' …' if len(names) > len(few) else ''}" if few else ""
