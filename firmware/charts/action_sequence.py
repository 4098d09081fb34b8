"""Actions of the packed table that are not one method of the owner."""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.charts.table import Action


class ActionFailed(Exception):
    """One action of a sequence raised; the engine records it and runs the rest. Caused by the action."""

    def __init__(self, cause: Exception, rest: "Action", owner: object, event: int) -> None:
        super().__init__(cause)
        self.cause = cause
        self._rest = rest
        self._owner = owner
        self._event = event

    def run_rest(self) -> None:
        """Run the actions behind the one that failed."""
        self._rest(self._owner, self._event)


class ActionSequence:
    """Actions in order: `first`, then `rest`, which is an action or another sequence."""

    def __init__(self, first: "Action", rest: "Action") -> None:
        self.first = first
        self.rest = rest

    def __call__(self, owner: object, event: int) -> None:
        """Run them in order. Raises ActionFailed, or what the last one raises."""
        rest: Action = self
        while isinstance(rest, ActionSequence):
            first, rest = rest.first, rest.rest
            try:
                first(owner, event)
            except Exception as cause:
                raise ActionFailed(cause, rest, owner, event)
        rest(owner, event)  # depth: 0 no ActionSequence is left here


class OwnerlessAction:
    """An action that takes the event only, called like a method: the owner is ignored."""

    def __init__(self, call: "Callable[[int], object]") -> None:
        self.call = call

    def __call__(self, _owner: object, event: int) -> object:
        """Call it with the event."""
        return self.call(event)
