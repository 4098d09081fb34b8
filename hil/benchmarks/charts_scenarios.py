"""The scenarios of `inlane measure charts`, as charts; runs on both Pythons.

Every action and guard counts, so that two ways of running the same scenario can be
compared. The rounds are sent over and over, one event at a time.
"""

from firmware.base.timers import Timers
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import Node, Region, State
from firmware.charts.pack import pack
from hil.benchmarks import charts_by_hand as by_hand

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

DEPTH = 5
REGIONS = 8


class Owner:
    """What actions and guards are methods of."""

    def __init__(self) -> None:
        self.count = 0
        self.left = 0
        self.entered = 0
        self.open = True

    def act(self, event: int) -> None:
        """Count a transition's action."""
        self.count += 1

    def leave(self, event: int) -> None:
        """Count an exit action."""
        self.left += 1

    def enter(self, event: int) -> None:
        """Count an entry action."""
        self.entered += 1

    def is_open(self, event: int) -> bool:
        """The guard: whether a guarded transition may be taken."""
        return self.open


def tower(name: str, depth: int = DEPTH) -> Node:
    """States one inside the other, each counting when it is entered and left."""
    inner = () if depth == 1 else (tower(name, depth - 1),)
    return State(f"{name}{depth}", enter="enter", exit="leave", states=inner)


def ping_pong(event: str) -> "tuple[tuple[object, ...], ...]":
    """Two states, one event."""
    return (("left", event, "right", "act"), ("right", event, "left", "act"))


class Scenario:
    """One machine, the events of a round, and the class that does the same by hand."""

    def __init__(
        self,
        name: str,
        title: str,
        charts: "tuple[tuple[tuple[object, ...], ...], ...]",
        round: "tuple[str, ...]",
        hand: "Callable[[], by_hand.ByHand | by_hand.Eight]",
        states: "tuple[Node, ...]" = (),
    ) -> None:
        self.name = name
        self.title = title
        self.charts = charts
        self.round = round
        self.hand = hand
        self.states = states

    def engine(self, owner: Owner) -> "tuple[Engine, list[int]]":
        """The engine, started, and the round as numbers of events."""
        events = Events()
        numbers = [events.add(name) for name in self.round]
        regions = [Region(f"region{i}", owner, rows, self.states) for i, rows in enumerate(self.charts)]
        engine = Engine(pack(regions, events), Timers())
        engine.start()
        return engine, numbers


_GUARDED = (("left", "ball", "right", "act", "is_open"), ("right", "ball", "left", "act", "is_open"))
_SIDES = (State("left", enter="enter", exit="leave"), State("right", enter="enter", exit="leave"))
_SWAPS = (("a5", "swap", "b5", "act"), ("b5", "swap", "a5", "act"))
_DEAF = ping_pong("ball") + (("elsewhere", "other", "left", "act"), ("left", "away", "elsewhere", "act"))
_ONE_EACH = tuple([ping_pong(f"ball{i}") for i in range(REGIONS)])
_ALL_ONE = tuple([ping_pong("ball") for _ in range(REGIONS)])

SCENARIOS = (
    Scenario("a", "flat ping-pong", (ping_pong("ball"),), ("ball",), by_hand.PingPong),
    Scenario(
        "b1",
        "five deep, answered at the top without leaving",
        ((("a5", "bump", None, "act"),),),
        ("bump",),
        by_hand.Inherited,
        (tower("a"),),
    ),
    Scenario(
        "b2",
        "from one five-deep tower into another",
        (_SWAPS,),
        ("swap",),
        by_hand.Towers,
        (tower("a"), tower("b")),
    ),
    Scenario("c", "eight regions, one answers", _ONE_EACH, ("ball3",), by_hand.Eight),
    Scenario("d", "guard, exit, action, entry", (_GUARDED,), ("ball",), by_hand.Guarded, _SIDES),
    Scenario("e", "nobody answers", (_DEAF,), ("other",), by_hand.PingPong),
    Scenario("all", "eight regions, all answer", _ALL_ONE, ("ball",), by_hand.EightTogether),
)
