"""Every name of one machine but those of its awards, by number, for those who show or store them."""


class Names:
    """Tuples in the order of the numbers. Built when the service pages or the store need them."""

    def __init__(self, play: "RuleContext") -> None:
        settings = play.settings.all
        self.of_switches = play.switch_names
        self.of_cues = tuple(play.cues.names)
        self.of_counts = tuple(play.counts.names)
        self.of_values = tuple([value.name for value in play.memory.values])
        self.of_settings = tuple([each.name for each in settings])
        self.of_units = tuple([each.unit for each in settings])
        self.of_meanings = tuple([each.meaning for each in settings])


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
