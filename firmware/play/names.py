"""Every name of one machine, by number, for those who show or keep them.

Play itself knows numbers only. A bundle (hil/bundle) gives `names` another body, which fetches them
from a file of their own: they take memory only while somebody holds them.
"""


class Names:
    """Tuples in the order of the numbers. `of_settings` holds (name, unit, meaning)."""

    def __init__(self, play: "Playfield") -> None:
        self.of_switches = play.switch_names
        self.of_cues = tuple(play.cues.names)
        self.of_awards = tuple(play.score.names)
        self.of_counts = tuple(play.counts.names)
        self.of_values = tuple([value.name for value in play.memory.values])
        self.of_settings = tuple([(each.name, each.unit, each.meaning) for each in play.settings.all])


def names(play: "Playfield") -> Names:
    """The names of the machine that `play` is of."""
    return Names(play)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
