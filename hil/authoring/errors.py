"""What is wrong with a description, in one sentence with its place."""

import difflib
from collections.abc import Iterable

from firmware.base.errors import InlaneError


class DescriptionError(InlaneError):
    """A description that cannot become a rule. The author of the description can cause it."""


def near_miss(word: str, known: Iterable[str]) -> str:
    """Advice for a word that is not known: the near miss, else all that are (twelve at most)."""
    names = sorted(set(known))
    near = difflib.get_close_matches(word, names, 1)
    if near:
        return f"; did you mean '{near[0]}'?"
    few = names[:12]
    return f"; there are {', '.join(few)}{' …' if len(names) > len(few) else ''}" if few else ""
