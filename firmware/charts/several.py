"""Callables that stand in the table for what is not one method of the owner."""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.charts.table import Action


class Broken(Exception):
    """One of several actions failed; the engine notes that, and has the rest run. Caused by the action."""

    def __init__(self, cause: Exception, rest: "Action", owner: object, event: int) -> None:
        super().__init__(cause)
        self.cause = cause
        self._rest = rest
        self._owner = owner
        self._event = event

    def go_on(self) -> None:
        """Run the actions behind the one that failed."""
        self._rest(self._owner, self._event)


class Several:
    """An action, and what follows it: another action, or several."""

    def __init__(self, first: "Action", rest: "Action") -> None:
        self.first = first
        self.rest = rest

    def __call__(self, owner: object, event: int) -> None:
        """Run them in order. Raises Broken, or what the last one raises."""
        rest: Action = self
        while isinstance(rest, Several):
            first, rest = rest.first, rest.rest
            try:
                first(owner, event)
            except Exception as cause:
                raise Broken(cause, rest, owner, event)
        rest(owner, event)


class Unbound:
    """What is callable with an event alone, as if it were a method."""

    def __init__(self, call: "Callable[[int], object]") -> None:
        self.call = call

    def __call__(self, _owner: object, event: int) -> object:
        return self.call(event)
