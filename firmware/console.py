"""The console: the one object that steps a machine from contacts to outputs."""

from firmware.base import ticks
from firmware.base.errors import GameError
from firmware.base.trace import EDGE, EVENT, SAVE, Trace
from firmware.board import Board
from firmware.charts.engine import Engine
from firmware.devices.coils import Coils
from firmware.devices.coin_lockout import CoinLockout
from firmware.devices.reflexes import Reflexes
from firmware.devices.switches import ZONES, Switches
from firmware.pad import Pad
from firmware.play.ambient import Ambient
from firmware.play.feature import Feature
from firmware.play.playfield import Playfield
from firmware.play.settings import Settings

OPENED = "opened."
MARK = b"\x01"  # what is looked for in bytes that mark what changed


class Console:
    """One running machine.

    `game` is a game's `game` module; `board` is told of every output; `start_ms` is the tick count
    that stands for time nought; `store` (see play.keeper) gives what was kept and takes what is to be
    kept, settings given here win over saved ones; `packed` are the game's charts as the host packed them
    (charts.unpack). Times given to it are milliseconds since the start.
    Raises GameError when the game does not fit together.
    """

    def __init__(
        self,
        game: "Any",
        board: "Board | None" = None,
        seed: int = 1,
        settings: "dict[str, int] | None" = None,
        start_ms: int = 0,
        trace_capacity: int = 256,
        store: "Any" = None,
        packed: "Any" = None,
    ) -> None:
        self.set_up(game, trace_capacity, packed)
        places = self.settings.places(settings or {})
        if store:
            self.keep(store)
        self.begin(board if board is not None else Board(), seed, places, start_ms)

    # Set-up ----------------------------------------------------------------------------------

    def set_up(self, game: "Any", trace_capacity: int, packed: "Any" = None) -> None:
        """All that is the same for every run of `game`."""
        self.board = Board()
        self.trace = Trace(trace_capacity)
        self.settings = Settings(game.SETTINGS)
        self._calm = self.settings.get("calm_lamps")
        self.play = Playfield(game.WIRING, self.settings, self.trace, 1)
        self.timers = self.play.timers
        self.play.title = game.TITLE
        self.now = 0
        self._start = 0
        if packed:
            self.play.events.seal(packed.EVENTS)
        self._events()
        self.switches = Switches(game.WIRING.SWITCHES, self.play.closed)
        self.coils = Coils(self.play, self.board)
        self.reflexes = Reflexes(self.play, self.coils)
        self.lockout = CoinLockout(self.play, self.coils)
        self.turns: Any = None
        self.keeper: Any = None
        self._build(game, packed)
        self.ambient = Ambient(self.play)
        self.pad = Pad(self, game)
        self.pad.bind()
        self._changed = bytearray(self.switches.count)
        self._level = bytearray(self.switches.count)
        self._raw = False
        self._show_lamp = self.board.lamp
        self._show_text = self.board.text

    def keep(self, store: "Any") -> None:
        """Load from `store` when the run begins, and save there; a bench's device does not call this."""
        from firmware.play.keeper import Keeper

        self.keeper = Keeper(self.play, store)

    def begin(self, board: Board, seed: int, settings: "dict[int, int]", start_ms: int) -> None:
        """Start the one run of this console. `settings`: values by place in the game's table."""
        if self.keeper:
            self.keeper.load()
        for place in sorted(settings):
            if not self.settings.set(place, settings[place]):
                raise GameError(
                    f"setting number {place} was given {settings[place]}, which is out of its range"
                )
        self.play.reseed(seed)
        self._start = start_ms
        self.timers.now = start_ms
        self.board = board
        self.coils.begin(board)
        # Bound once: binding a method anew allocates.
        self._show_lamp = board.lamp
        self._show_text = board.text
        self.play.cues.show = board.cue
        self.play.lamps.calm = bool(self._calm.n)
        self.ambient.begin(board)
        self.play.count_free()
        self.engine.start()
        self.play.show_all = True
        if self.play.faults.count and self.play.faults.fresh():
            self.pad.tell(b"FAULTS REPORTED", b"SEE THE PAD")
        self._react()
        self._resolve()

    def _events(self) -> None:
        """Switch events first: their number is the switch's own."""
        for name in self.play.switch_names:
            self.play.events.add(name)
        self._playfield_event = self.play.events.add("playfield")
        self.zones = bytearray([ZONES.index(row[2]) for row in self.play.wiring.SWITCHES])

    def _build(self, game: "Any", packed: "Any") -> None:
        play = self.play
        for make in game.FEATURES:
            play.features.append(make(play))
        self._opened = bytearray(0)
        for name in _heard_openings(play):
            play.events.add(name)
        play.memory.close()
        self.table = _table(play, packed)
        self.engine = Engine(self.table, play.timers, self.trace)
        self.engine.before_event = self._before_event
        play.engine = self.engine
        play.savers = [play.find(name).save for name in game.SAVERS]
        self.turns = play.find("game").turns
        self.turns.close()
        for feature in play.features:
            feature.bind()
        self._shows = [_own_show(feature) for feature in play.features]
        self._openings = self._opening_events()

    def _opening_events(self) -> "list[int]":
        known = {self.events.name(i): i for i in range(len(self.events))}
        return [known.get(OPENED + name, -1) for name in self.switch_names]

    # Names, by number ------------------------------------------------------------------------

    @property
    def events(self) -> "Any":
        return self.play.events

    @property
    def switch_names(self) -> "tuple[str, ...]":
        return self.play.switch_names

    @property
    def lamp_names(self) -> "tuple[str, ...]":
        return self.play.lamps.names

    @property
    def coil_names(self) -> "tuple[str, ...]":
        return self.play.coils.names

    @property
    def cue_names(self) -> "list[str]":
        return self.play.cues.names

    @property
    def award_names(self) -> "list[str]":
        return self.play.score.names

    @property
    def memory(self) -> "Any":
        return self.play.memory

    def windows(self) -> "list[tuple[str, int, bool]]":
        """Open windows: name, ms left, whether they stand still."""
        return [(w.name, w.left(), not self.play.free) for w in self.play.windows if w.left()]

    # Running ---------------------------------------------------------------------------------

    def contact(self, switch: int, closed: int) -> None:
        """The contact of `switch` is closed (1) or open (0) from now on."""
        self._level[switch] = 1 if closed else 0
        self._changed[switch] = 1
        self._raw = True

    def settled(self, switch: int, closed: int) -> bool:
        """A debounced edge from a board that scans by itself; False: ask again after the next step."""
        return self.switches.settled(switch, closed, self.timers.now)

    def due(self) -> int:
        """Milliseconds until something is due, −1 when nothing is."""
        if self._raw:
            return 0
        first, edge = self.timers.first, self.switches.first
        if edge >= 0 and (first < 0 or (edge - first) & ticks.MASK >= ticks.HALF):
            first = edge
        if first < 0:
            return -1
        wait = (first - self.timers.now) & ticks.MASK
        return wait if wait < ticks.HALF else 0

    def run_to(self, now_ms: int, until_coil: bool = False) -> int:
        """Step from due time to due time up to `now_ms`; the time reached.

        With `until_coil` it stops right after a millisecond in which a coil was commanded. Times wrap
        at 2^30 (12.4 days), those in the trace as well.
        """
        now_ms &= ticks.MASK
        left = ticks.diff(now_ms, self.now)
        made = self.coils.made
        wait = self.due()
        while 0 <= wait <= left:
            if wait:
                left -= wait
                self._set_time((now_ms - left) & ticks.MASK)
            self._step()
            if until_coil and self.coils.made != made:
                return self.now
            wait = self.due()
        if left:
            self._set_time(now_ms)
        return now_ms

    def _set_time(self, now_ms: int) -> None:
        self.now = now_ms
        self.trace.now = now_ms
        self.timers.now = ticks.add(now_ms, self._start) if self._start else now_ms

    def _step(self) -> None:
        """Everything of this millisecond: contacts, edges by switch, timers by (due, id), outputs."""
        play, timers, switches = self.play, self.timers, self.switches
        if (self._raw or play.armed != self.reflexes.allowed) and self.reflexes.wane():
            self.reflexes.renew()
        if self._raw:
            self._take_contacts()
            if play.live and not play.score.paid and self.due():
                return  # contacts alone change nothing that is shown
        while switches.first >= 0:
            switch = switches.pop(timers.now)
            if switch < 0:
                break
            self._edge(switch)
        timer = timers.next(timers.now)
        while timer >= 0:
            self._timer(timer)
            timer = timers.next(timers.now)
        if play.score.paid:
            play.score.paid = False
            for watch in play.watchers:
                watch()
        if self.engine.pending or play.coils.count:
            self._react()
        self._resolve()

    def _take_contacts(self) -> None:
        self._raw = False
        changed, switches = self._changed, self.switches
        switch = changed.find(MARK)
        while switch >= 0:
            changed[switch] = 0
            level = self._level[switch]
            if level != switches.raw[switch]:
                self.reflexes.change(switch, level)
                switches.change(switch, level, self.timers.now)
            switch = changed.find(MARK, switch + 1)

    def _edge(self, switch: int) -> None:
        closed = self.play.closed[switch]
        self.trace.add(EDGE, switch, closed)
        playfield = self.zones[switch] == 0
        if playfield:
            self.play.heard_at = self.now
        self.play.watch.note(switch, closed)
        if (self.pad.awake or self.pad.buttons[switch]) and self.pad.takes(switch, closed):
            self._react()
            return
        if self.play.watch.muted[switch] or (playfield and not self.play.live):
            return
        event = switch if closed else self._openings[switch]
        if event >= 0:
            self.engine.send(event, 0)
            self._react()
        if closed and playfield:
            self.engine.send(self._playfield_event, switch)
            self._react()

    def _timer(self, timer: int) -> None:
        hook = self.play.hooks.get(timer)
        if hook:
            hook()
        else:
            self.engine.send(self.timers.event[timer], 0)
        self._react()

    def _before_event(self, event: int) -> None:
        self.trace.add(EVENT, event, self.engine.value)
        self.play.score.latched = self.play.score.factor

    def _react(self) -> None:
        """Run to completion, show what was touched, pass on what was asked for; again while there is more."""
        play, engine = self.play, self.engine
        while True:
            if engine.pending:
                engine.settle()
            chart = engine.touched.find(MARK)
            if chart >= 0 or play.show_all:
                self._show(chart)
            if play.coils.count:
                self._pass_on()
            if not play.turn_wanted:
                return
            play.watch.ball_over()
            self.turns.take()

    def _show(self, chart: int) -> None:
        """Call `show` of every feature that answered, from `chart` on; of all when everything changed."""
        touched, shows = self.engine.touched, self._shows
        if self.play.show_all:
            self.play.show_all = False
            for chart in range(len(touched)):
                touched[chart] = 1
            chart = 0
        while chart >= 0:
            touched[chart] = 0
            show = shows[chart]
            if show:
                show()
            chart = touched.find(MARK, chart + 1)

    def _pass_on(self) -> None:
        """Ask the governor for what the rules asked for."""
        requests = self.play.coils
        while requests.count:
            coil = requests.next_coil()
            ms = requests.next_ms()
            requests.drop()
            if not self.pad.barred or not self.pad.bars(coil):
                self.coils.ask(coil, ms)

    def _resolve(self) -> None:
        play = self.play
        score = play.score
        changed = score.changed
        if changed or score.scored:
            score.changed = score.scored = False
            for refresh in play.refreshers:
                refresh(changed)
        if play.lamps.touched:
            play.lamps.resolve(self._show_lamp)
        if play.pages.dirty:
            play.pages.resolve(self._show_text)
        if not play.live:
            self.ambient.look(self.now)
            self._save()
        if changed or self.lockout.stale or not play.live:
            self.lockout.look(self.pad.barred)

    def _save(self) -> None:
        """Kept values are asked to be saved only while no ball is in play."""
        memory = self.play.memory
        at = memory.unsaved()
        while at >= 0:
            value = memory.values[at]
            value.saved = value.n
            self.trace.add(SAVE, at, value.n)
            at = memory.unsaved(at + 1)
            if self.keeper:
                self.keeper.wanted = True
        if self.keeper and self.keeper.look() and self._at_rest():
            self.play.save_waits = not self.coils.quiet()
            if not self.play.save_waits:
                self.keeper.save()

    def _at_rest(self) -> bool:
        """No ball is in play."""
        play = self.play
        return not play.free and (not play.tilted or not play.out)

    def settings_changed(self) -> None:
        """Settings were changed by the operator: what is not read at each use is read again."""
        lamps = self.play.lamps
        lamps.calm = bool(self._calm.n)
        lamps.touch_all()
        self.ambient.begin(self.board)
        self.play.score.changed = True
        if self.keeper:
            self.keeper.wanted = True


def _table(play: Playfield, packed: "Any") -> "Any":
    """The charts of all features in one table. Imported late: a board needs one of the two."""
    if packed:
        from firmware.charts.unpack import unpack

        return unpack(packed, play.features)
    from firmware.charts.model import Region
    from firmware.charts.pack import pack

    return pack([Region(f.name, f, f.chart, f.states) for f in play.features], play.events)


def _own_show(feature: "Any") -> "Callable[[], None] | None":
    """The method `show` of a feature, bound; None when it has none of its own."""
    return None if type(feature).show is Feature.show else feature.show


def _heard_openings(play: Playfield) -> "list[str]":
    """The openings that some chart listens to, as whole event names in wiring order."""
    heard = set()
    for feature in play.features:
        for row in feature.chart:
            if isinstance(row[1], str):
                for word in row[1].split():
                    if word.startswith(OPENED):
                        heard.add(word[len(OPENED) :])
    return [
        OPENED + name
        for name in play.switch_names
        if name in heard or any(name.startswith(prefix + ".") for prefix in heard)
    ]


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any
