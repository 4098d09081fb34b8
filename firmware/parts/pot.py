"""A pot: a value that grows from game to game until somebody wins it."""

from firmware.parts.built_value import BuiltValue
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT


class Pot(BuiltValue):
    """Kept through power loss; raised to `floor` when a game starts, back to `reset` when won.

        class Treasure(Feature):
            name = "treasure"
            span = PERSISTENT
            chart = (
                ("on", "game.started", None, "open"),
                ("on", "spinner", None, "grow"),
                ("on", "made.saucer", None, "win"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._award = self.award("won")
                self._pot = Pot(self, reset=400_000, floor=800_000, cap=5_000_000)

            def open(self, event): self._pot.open_game()
            def grow(self, event): self._pot.grow(1_000)
            def win(self, event): self._award.pay(self._pot.collect())

    `grow` takes what is added, up to `cap`.
    """

    def __init__(self, feature: Feature, reset: int, floor: int, cap: int) -> None:
        super().__init__(feature, reset, 0, cap, PERSISTENT, "pot")
        self.floor = floor

    def open_game(self) -> None:
        """A game starts: at least the floor."""
        self.raise_to(self.floor)
