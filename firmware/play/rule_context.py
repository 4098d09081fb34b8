"""What every feature of one machine shares: the tables above the hardware, below the rules."""

from firmware.base.chance import Stream
from firmware.base.errors import GameError
from firmware.base.timers import HELD, Timers
from firmware.base.trace import EVENT, Trace
from firmware.charts.events import Events
from firmware.charts.suggest import did_you_mean
from firmware.play.claims import Claims
from firmware.play.counts import Counts
from firmware.play.faults import Faults
from firmware.play.flashers import Flashers
from firmware.play.memory import Memory
from firmware.play.offers import Offers
from firmware.play.pages import Pages
from firmware.play.requests import CoilQueue, Cues
from firmware.play.rows import names, usual_pulses
from firmware.play.score import Scorer
from firmware.play.settings import Settings
from firmware.play.switch_monitor import SwitchMonitor

ALWAYS = 0  # timer group that is never frozen
FREE = 1  # timer group of windows: frozen while no ball is free


class RuleContext:
    """What the features of one machine share: rules reach it as `self.play`. Built once, at set-up.

    `live`: playfield switches reach the rules (a ball is in play and the machine is not tilted).
    `armed`: reflexes and flippers may act. `out`: balls beyond trough and shooter lane;
    `rolling_in`, `held`, `climbing`: those of them in the trough but not yet counted, in a hole or
    tunnel, on a ramp; `free`: the rest, which the player can act on.
    `heard_at`: when a playfield switch last closed or, if later, when a ball came free (ms since start).
    `accepts_coins`: whether a coin would buy something. `save_waits`: a save waits for the coils to be off.
    `score_listeners` are called at the end of a step in which points were paid, `display_listeners`
    before the outputs of a step in which the display has to change, with whether more than the playing
    player's score changed.
    `savers`: called in order when a ball drains; the first that returns True has the ball served again.
    """

    news: "Announcer"  # set by the feature that shows news
    engine: "Engine"  # set once the charts of all features are packed

    def __init__(self, wiring: "WiringTables", settings: Settings, trace: Trace, seed: int) -> None:
        self.wiring = wiring
        self.settings = settings
        self.trace = trace
        self.seed = seed
        self.title = b""
        self.switch_names = names(wiring.SWITCHES)
        self.timers = Timers()
        for _ in self.switch_names:  # the first numbers debounce: edges come before timers of the same ms
            self.timers.add(-1)
        self.events = Events()
        self.memory = Memory()
        self.score = Scorer(trace)
        self.lamps = Claims(names(wiring.LAMPS), trace)
        self.pages = pages(wiring, trace)
        self.coils = CoilQueue(names(wiring.COILS), usual_pulses(wiring.COILS))
        self.flashers = Flashers(self.coils, self.lamps, trace)
        self.cues = Cues(trace)
        self.offers = Offers()
        self.closed = bytearray(len(self.switch_names))
        self.faults = Faults(trace)
        self.counts = Counts(len(self.switch_names))
        self.balls = wiring.BALLS
        self.out = self.in_lane = self.rolling_in = self.held = self.climbing = self.free = 0
        self.locked = self.missing = 0
        self.heard_at = 0
        self.players = self.ball = 0
        self.live = self.tilted = self.armed = False
        self.turn_requested = self.show_all = self.save_waits = False
        self.accepts_coins: Callable[[], bool] = accepts_no_coins
        self.savers: list[Callable[[], bool]] = []
        self.score_listeners: list[Callable[[], None]] = []
        self.display_listeners: list[Callable[[bool], None]] = []
        self.windows: list[Closable] = []
        self.shows: list[Endable] = []
        self.hooks: dict[int, Callable[[], None]] = {}
        self.features: list[Feature] = []
        self._streams: list[Stream] = []
        self.switch_monitor = SwitchMonitor(wiring, self)

    def clock(self, hook: "Callable[[], None]", group: int = ALWAYS) -> "Clock":
        """A timer that calls `hook` when it is due."""
        ident = self.timers.add(-1, group)
        self.hooks[ident] = hook
        return Clock(self.timers, ident)

    def event(self, name: str) -> "Signal":
        """A handle on the event called `name`, for raising it."""
        return Signal(self, self.events.add(name))

    def switch(self, name: "SwitchName", who: str = "") -> int:
        """Position of the switch called `name`. Raises GameError with the near miss."""
        if name not in self.switch_names:
            raise GameError(
                "switch '"
                + name
                + "' is used by "
                + who
                + " but not wired"
                + did_you_mean(name, list(self.switch_names))
            )
        return self.switch_names.index(name)

    def stream(self) -> Stream:
        """A stream of random numbers of its own, fixed by the seed and the order of set-up."""
        stream = Stream(self.seed, len(self._streams) + 1)
        self._streams.append(stream)
        return stream

    def reseed(self, seed: int) -> None:
        """Restart every stream of chance from `seed`."""
        self.seed = seed
        for i in range(len(self._streams)):
            self._streams[i].reseed(seed, i + 1)

    def get(self, name: "FeatureName") -> "Any":
        """The feature called `name`, None when the game has none."""
        # Any: only the caller knows which class a name belongs to.
        for feature in self.features:
            if feature.name == name:
                return feature
        return None

    def find(self, name: "FeatureName") -> "Any":
        """The feature called `name`, for others at set-up. Raises GameError with the near miss."""
        feature = self.get(name)
        if feature is not None:
            return feature
        near = did_you_mean(name, [f.name for f in self.features])
        raise GameError("there is no feature '" + name + "'" + near)

    def raise_(self, event: int, value: int) -> None:
        """Raise an event from an action: processed before any event from outside."""
        self.trace.note(EVENT, event, value)
        self.engine.raise_(event, value)

    def count_free(self) -> None:
        """Count the free balls again; windows run while there is one and are frozen otherwise."""
        free = self.out - self.rolling_in - self.held - self.climbing
        if free > 0 and not self.free:
            self.heard_at = self.trace.now
        self.free = free if free > 0 else 0
        if self.free:
            self.timers.thaw(FREE)
        else:
            self.timers.freeze(FREE)

    def close_windows(self) -> None:
        """All windows close, and shows end (the ball ended, or a tilt)."""
        for window in self.windows:
            window.close()
        for show in self.shows:
            show.end()


def pages(wiring: "WiringTables", trace: Trace) -> Pages:
    """The displays: two lines of text, unless the wiring describes others."""
    displays = getattr(wiring, "DISPLAYS", ())
    if not displays:
        return Pages(trace)
    from firmware.play.number_pages import NumberPages  # here: most games have no use for it

    return NumberPages(displays, trace)


def accepts_no_coins() -> bool:
    """The answer of a machine without credits: no coin would buy anything."""
    return False


class Clock:
    """A timer with a hook; times in milliseconds."""

    def __init__(self, timers: Timers, ident: int) -> None:
        self.ident = ident
        self._timers = timers

    def start(self, ms: int) -> None:
        """Run for `ms` from now on; a running clock is restarted."""
        self._timers.start(self.ident, ms)

    def stop(self) -> None:
        """Stop without calling the hook."""
        self._timers.stop(self.ident)

    def is_running(self) -> bool:
        """Whether it was started and is not over; it may be frozen with its group."""
        return self._timers.state[self.ident] != 0

    def is_frozen(self) -> bool:
        """Whether it was started and stands still with its group."""
        return self._timers.state[self.ident] == HELD

    def remaining_ms(self) -> int:
        """Milliseconds left, 0 when it does not run."""
        return self._timers.left(self.ident)


class Signal:
    """A handle on an event."""

    def __init__(self, context: RuleContext, ident: int) -> None:
        self.ident = ident
        self._context = context

    def raise_(self, value: int = 0) -> None:
        """Raise it from an action: processed before any event from outside, with `value` as its argument."""
        self._context.raise_(self.ident, value)

    def post(self, value: int = 0) -> None:
        """Queue it from a clock or the cabinet: processed in its turn, with `value` as its argument."""
        self._context.engine.post(self.ident, value)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from firmware.charts.engine import Engine
    from firmware.play.feature import Feature
    from firmware.play.interfaces import Announcer, Closable, Endable, WiringTables
    from firmware.play.name_types import FeatureName, SwitchName
