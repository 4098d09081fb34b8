"""Row 14: events without end; the heap after a collection must not grow. Under MicroPython only.

`count` events for the chart engine on a small machine, then a tenth as many in one whole game that is never
begun anew.
"""

import gc

from boards.unix.trials import machines
from boards.unix.trials.tally import Tally
from firmware.base.chance import Stream
from firmware.base.timers import Timers
from firmware.base.trace import Trace
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.model import Region, State
from firmware.charts.pack import pack

LOOKS = 64  # about so many, since the list of them grows too
LEAST_MS = 600_000  # of play between two looks at the heap,
LEAST_EVENTS = 5_000  # and events of the engine
EVENTS_A_MINUTE = 300  # in play, about
WARM_LOOKS = 12  # two hours of play: what is made on first use, such as a page, is made by then
SLACK = 1024  # bytes: what the play itself has at hand differs from look to look
GAME = "honey_flow"
REGIONS = 8
NAMES = ("ball", "swap", "deeper", "other")


class Owner:
    """Actions and guards of the small machine."""

    def __init__(self) -> None:
        self.done = 0

    def act(self, event: int) -> None:
        """Count the action."""
        self.done = (self.done + 1) & 0xFFFF

    def is_even(self, event: int) -> bool:
        """The answer of the guard."""
        return self.done % 2 == 0


def run(_row: int, count: int, seed: int) -> Tally:
    """At least `count` events of the engine, and a tenth as many of the whole game."""
    tally = Tally()
    _engine(tally, count, seed)
    _game(tally, max(1, count // 10), seed)
    return tally


def _engine(tally: Tally, count: int, seed: int) -> None:
    """Eight regions with guards, entry and exit, states in states; some answer, some do not."""
    rows = (
        ("left", "ball", "right", "act", "is_even"),
        ("left", "ball", None, "act", "not is_even"),
        ("right", "ball", "left", "act"),
        ("left", "swap", "inner", "act"),
        ("outer", "swap", "left"),
        ("inner", "deeper", "innermost", "act"),
        ("innermost", "deeper ball", "inner"),
    )
    inner = State("inner", enter="act", exit="act")
    states = (State("left"), State("right"), State("outer", states=(inner, State("innermost", enter="act"))))
    events = Events()
    numbers = [events.add(name) for name in NAMES]
    owner = Owner()
    regions = [Region(f"region{i}", owner, rows, states) for i in range(REGIONS)]
    engine = Engine(pack(regions, events), Timers(), Trace())
    engine.start()
    chance = Stream(seed, 14)
    looks: list[int] = []
    made = 0
    each = max(LEAST_EVENTS, count // LOOKS)
    while made < count or len(looks) < 2 * WARM_LOOKS:
        for _ in range(each):
            engine.send(numbers[chance.below(len(numbers))])
        made += each
        looks.append(used())
    judge(tally, "engine", looks[WARM_LOOKS:])
    tally.ran += made
    tally.count("engine events", made)


def _game(tally: Tally, count: int, seed: int) -> None:
    play = machines.play(GAME, seed)
    looks: list[int] = []
    each_ms = max(LEAST_MS, count // EVENTS_A_MINUTE // LOOKS * 60_000)
    while play.events < count or len(looks) < 2 * WARM_LOOKS:
        play.go(each_ms)
        looks.append(used())
    judge(tally, "game", looks[WARM_LOOKS:])
    tally.ran += play.events
    tally.count("game events", play.events)
    tally.count("hours of play", len(looks) * each_ms // 3_600_000)
    tally.count("coil commands", play.commands)
    tally.count("records", play.records)
    tally.count("games", play.console.play.counts.get("games"))


def used() -> int:
    """Bytes of heap in use after a collection."""
    gc.collect()
    assert hasattr(gc, "mem_alloc")
    return int(gc.mem_alloc())


def judge(tally: Tally, what: str, looks: "list[int]") -> None:
    """The greatest heap of the later half is not above that of the first by more than SLACK."""
    half = len(looks) // 2
    before = max(looks[:half])
    after = max(looks[half:])
    tally.count(what + " bytes at most, first half", before)
    tally.count(what + " bytes at most, later half", after)
    if after > before + SLACK:
        tally.failed(f"{what}: the heap grew from {before} to {after} bytes over {len(looks)} looks")
