"""The scenarios of `inlane measure charts` as someone would write them by hand: dict dispatch, nothing else.

They use no code of the engine: its speed is compared with theirs. Runs on both Pythons.
"""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    Handler = Callable[[], None]


class ByHand:
    """One state, one dict of handlers a state."""

    def __init__(self) -> None:
        self.count = 0
        self.left = 0
        self.entered = 0
        self.open = True
        self.state = ""
        self.table: dict[str, dict[str, Handler]] = {}

    def send(self, event: str) -> None:
        """Call the handler that the current state has for `event`; without one nothing happens."""
        handler = self.table[self.state].get(event)
        if handler is not None:
            handler()

    def act(self) -> None:
        """Count a transition's action."""
        self.count += 1

    def leave(self) -> None:
        """Count an exit action."""
        self.left += 1

    def enter(self) -> None:
        """Count an entry action."""
        self.entered += 1


class PingPong(ByHand):
    """Scenario a."""

    def __init__(self) -> None:
        super().__init__()
        self.state = "left"
        self.table = {"left": {"ball": self.to_right}, "right": {"ball": self.to_left}}

    def to_right(self) -> None:
        """Count, and go to state `right`."""
        self.count += 1
        self.state = "right"

    def to_left(self) -> None:
        """Count, and go to state `left`."""
        self.count += 1
        self.state = "left"


class Inherited(ByHand):
    """Scenario b1: the leaf's dict has the handlers of the topmost state."""

    def __init__(self) -> None:
        super().__init__()
        self.state = "a1"
        self.entered = 5
        self.table = {"a1": {"bump": self.act}}


class Towers(ByHand):
    """Scenario b2: out of five states, into five others."""

    def __init__(self) -> None:
        super().__init__()
        self.state = "a1"
        self.entered = 5
        self.table = {"a1": {"swap": self.to_b}, "b1": {"swap": self.to_a}}

    def out(self) -> None:
        """Leave five states, innermost first."""
        self.leave()
        self.leave()
        self.leave()
        self.leave()
        self.leave()

    def into(self) -> None:
        """Enter five states, outermost first."""
        self.enter()
        self.enter()
        self.enter()
        self.enter()
        self.enter()

    def to_b(self) -> None:
        """From tower `a` to tower `b`."""
        self.out()
        self.act()
        self.state = "b1"
        self.into()

    def to_a(self) -> None:
        """From tower `b` to tower `a`."""
        self.out()
        self.act()
        self.state = "a1"
        self.into()


class Guarded(ByHand):
    """Scenario d: guard, exit, action, entry."""

    def __init__(self) -> None:
        super().__init__()
        self.state = "left"
        self.entered = 1
        self.table = {"left": {"ball": self.to_right}, "right": {"ball": self.to_left}}

    def is_open(self) -> bool:
        """The guard: whether the transition may be taken."""
        return self.open

    def to_right(self) -> None:
        """If the guard allows it, go to state `right`."""
        if self.is_open():
            self.leave()
            self.act()
            self.state = "right"
            self.enter()

    def to_left(self) -> None:
        """If the guard allows it, go to state `left`."""
        if self.is_open():
            self.leave()
            self.act()
            self.state = "left"
            self.enter()


class Eight:
    """Scenario c: eight machines side by side; each event has the list of those that hear it."""

    def __init__(self) -> None:
        self.parts = [PingPong() for _ in range(8)]
        self.listeners: dict[str, list[PingPong]] = {}
        for i, part in enumerate(self.parts):
            part.table = {"left": {f"ball{i}": part.to_right}, "right": {f"ball{i}": part.to_left}}
            self.listeners[f"ball{i}"] = [part]

    @property
    def count(self) -> int:
        """Actions counted, of all eight together."""
        return sum([part.count for part in self.parts])

    @property
    def left(self) -> int:
        """Exit actions counted: this scenario has none."""
        return 0

    @property
    def entered(self) -> int:
        """Entry actions counted: this scenario has none."""
        return 0

    def send(self, event: str) -> None:
        """Send `event` to the machines that have a handler for it."""
        for part in self.listeners.get(event, ()):
            part.send(event)


class EightTogether(Eight):
    """Eight machines that all hear one event."""

    def __init__(self) -> None:
        super().__init__()
        for part in self.parts:
            part.table = {"left": {"ball": part.to_right}, "right": {"ball": part.to_left}}
        self.listeners = {"ball": self.parts}
