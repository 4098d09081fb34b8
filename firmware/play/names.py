"""Every name of one machine, by number, for those who show or keep them.

Play itself knows numbers only. A bundle (hil/bundle) gives `names` another body, which fetches them
from a file of their own: they take memory only while somebody holds them.
"""

from firmware.play.roll import Roll


class Names:
    """Rolls in the order of the numbers."""

    def __init__(self, play: "Playfield") -> None:
        settings = play.settings.all
        self.of_switches = Roll(play.switch_names)
        self.of_cues = Roll(play.cues.names)
        self.of_awards = Roll(play.score.names)
        self.of_counts = Roll(play.counts.names)
        self.of_values = Roll([value.name for value in play.memory.values])
        self.of_settings = Roll([each.name for each in settings])
        self.of_units = Roll([each.unit for each in settings])
        self.of_meanings = Roll([each.meaning for each in settings])


def names(play: "Playfield") -> Names:
    """The names of the machine that `play` is of."""
    return Names(play)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
