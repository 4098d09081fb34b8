"""What a store calls everything that one machine keeps.

A bundle (hil/bundle) gives `keys` another body, which fetches them from a file that the host made: a board
needs no names to load and to save.
"""

from firmware.play.memory import KEPT
from firmware.play.names import names


class Keys:
    """Tuples in the order of the numbers of what they stand for; `of_values`: the kept ones."""

    def __init__(self, play: "Playfield", key: "Callable[[str], Any]") -> None:
        every = names(play)
        values = play.memory.values
        kept = [every.of_values[i] for i in range(len(values)) if values[i].span == KEPT]
        self.of_version = key("version")
        self.of_starts = key("starts")
        self.of_settings = _each(key, "setting.", every.of_settings)
        self.of_values = _each(key, "value.", kept)
        self.of_counts = _each(key, "count.", every.of_counts)
        self.of_awards = _each(key, "award.", every.of_awards)
        self.of_score_steps = _each(key, "score_step.", [str(i) for i in range(len(play.counts.scores))])
        self.of_closures = _each(key, "closures.", every.of_switches)
        self.of_unseen = _each(key, "unseen.", every.of_switches)


def keys(play: "Playfield", store: "Any") -> Keys:
    """The keys that `store` has for the machine that `play` is of."""
    return Keys(play, store.key)


def _each(key: "Callable[[str], Any]", kind: str, called: "Roll | list[str]") -> "tuple[Any, ...]":
    return tuple([key(kind + called[i]) for i in range(len(called))])


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from firmware.play.playfield import Playfield
    from firmware.play.roll import Roll
