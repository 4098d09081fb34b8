"""A game's features built one by one, so that each that is refused is named, and not the first alone."""

from types import SimpleNamespace
from typing import cast

from firmware.play.feature import Feature
from firmware.play.rule_context import RuleContext
from hil.game_tables import GameModule


class GuardedGame:
    """A game module whose features are guarded. `errors`: what kept features from being built."""

    def __init__(self, module: GameModule) -> None:
        self._module = module
        self.errors: list[Exception] = []

    def as_module(self) -> GameModule:
        """The module with its features guarded."""
        guarded = [Guarded(kind, self.errors) for kind in self._module.FEATURES]
        return cast(GameModule, SimpleNamespace(**{**vars(self._module), "FEATURES": guarded}))


class Guarded:
    """Makes a feature; one that is refused is noted, and another without rules takes its place."""

    def __init__(self, kind: type[Feature], errors: list[Exception]) -> None:
        self._kind = kind
        self._errors = errors

    def __call__(self, play: RuleContext) -> Feature:
        """The feature, or the one in its place."""
        try:
            return self._kind(play)
        except Exception as error:
            self._errors.append(error)
        absent = Feature(play)
        absent.name, absent.chart = self._kind.name, (("absent", "absent.never", None, None),)
        return absent
