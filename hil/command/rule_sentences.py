"""The sentence of each rule of a game, as the rule card has it, for what is shown of an insert."""

from firmware.base.errors import GameError
from firmware.console import Console
from hil.reports import card
from simulator.desk.inside import RuleWords


class RuleSentences:
    """Title and sentence of a console's features; made again when a setting was changed."""

    def __init__(self, console: Console) -> None:
        self._console = console
        self._made: dict[str, RuleWords] = {}  # by feature
        self._made_for: list[int] = []  # the settings' values in them

    def of(self, feature: str) -> RuleWords:
        """Those of one feature; without a sentence when the rule card refuses the game."""
        settings = [setting.value for setting in self._console.settings.all]
        if settings != self._made_for:
            self._made, self._made_for = {}, settings
        if feature not in self._made:
            self._made[feature] = self._make(feature)
        return self._made[feature]

    def _make(self, feature: str) -> RuleWords:
        one = next(one for one in self._console.play.features if one.name == feature)
        try:
            rule = card.rule_of(one, self._console)
        except GameError:  # check refuses it; a half-written rule is played at the workbench all the same
            return RuleWords(feature.replace("_", " "), "")
        return RuleWords(rule.title, rule.sentence)
