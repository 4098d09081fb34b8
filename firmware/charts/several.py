"""Callables that stand in the table for what is not one method of the owner."""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.charts.table import Action


class Broken(Exception):
    """One of several actions failed; the engine notes that, and has the rest run. Caused by the action."""

    def __init__(self, cause: Exception, several: "Several", at: int, owner: object, event: int) -> None:
        super().__init__(cause)
        self.cause = cause
        self._several = several
        self._at = at
        self._owner = owner
        self._event = event

    def go_on(self) -> None:
        """Run the actions behind the one that failed."""
        self._several.run(self._at, self._owner, self._event)


class Several:
    """Actions in order."""

    def __init__(self, actions: "list[Action]") -> None:
        self.actions = tuple(actions)

    def __call__(self, owner: object, event: int) -> None:
        self.run(0, owner, event)

    def run(self, at: int, owner: object, event: int) -> None:
        """Run the actions from `at` on. Raises Broken."""
        while at < len(self.actions):
            action = self.actions[at]
            at += 1
            try:
                action(owner, event)
            except Exception as cause:
                raise Broken(cause, self, at, owner, event)


class Unbound:
    """What is callable with an event alone, as if it were a method."""

    def __init__(self, call: "Callable[[int], object]") -> None:
        self.call = call

    def __call__(self, _owner: object, event: int) -> object:
        return self.call(event)
