"""The console: the one object that steps a machine from contacts to outputs."""

from firmware.base.errors import GameError
from firmware.base.trace import SAVE, Trace
from firmware.board import Board
from firmware.charts.engine import Engine
from firmware.devices.coils import Coils
from firmware.devices.coin_lockout import CoinLockout
from firmware.devices.reflexes import Reflexes
from firmware.devices.switches import ZONES, Switches
from firmware.pad import ServicePad
from firmware.play.ambient import Ambient
from firmware.play.feature import Feature
from firmware.play.losses import Losses
from firmware.play.rows import zones
from firmware.play.rule_context import RuleContext
from firmware.play.settings import Settings
from firmware.steps import Steps

OPENED = "opened."


class Console(Steps):
    """One running machine.

    `game` is a game's `game` module; `board` gets every output; `start_ms` is the tick count of the board
    at time 0; `store` (see play.persistence) gives the last save and takes the next, where
    settings given here win over saved ones; `packed` are the game's charts as the host packed them
    (charts.unpack). Times given to it are milliseconds since the start.
    Raises GameError when the game does not fit together.
    """

    def __init__(
        self,
        game: "GameModule",
        board: "Board | None" = None,
        seed: int = 1,
        settings: "dict[str, int] | None" = None,
        start_ms: int = 0,
        trace_capacity: int = 256,
        store: "Store | None" = None,
        packed: "PackedCharts | None" = None,
    ) -> None:
        self.set_up(game, trace_capacity, packed)
        places = self.settings.by_place(settings or {})
        if store:
            self.attach_store(store)
        self.begin(board if board is not None else Board(), seed, places, start_ms)

    # Set-up ----------------------------------------------------------------------------------

    trace_kind = Trace

    def set_up(self, game: "GameModule", trace_capacity: int, packed: "PackedCharts | None" = None) -> None:
        """All that is the same for every run of `game`."""
        self.board = Board()
        self.trace = self.trace_kind(trace_capacity)
        self.settings = Settings(game.SETTINGS)
        self._calm = self.settings.get("calm_lamps")
        self.play = RuleContext(game.WIRING, self.settings, self.trace, 1)
        self.timers = self.play.timers
        self.play.title = game.TITLE
        self.now = 0
        self._start = 0
        if packed:
            self.play.events.seal(packed.EVENTS)
        self._events()
        self.switches = Switches(game.WIRING.SWITCHES, self.play.closed, self.timers)
        self.coils = Coils(self.play, self.board)
        self.reflexes = Reflexes(self.play, self.coils)
        self.lockout = CoinLockout(self.play, self.coils)
        self.persistence: Persistence | None = None
        self._build(game, packed)
        self.losses = Losses(self.engine, self.play.faults)
        self.edges_lost = 0  # counted by a board that scans by itself
        self.ambient = Ambient(self.play)
        self.pad = ServicePad(self, game)
        self.pad.bind()
        self._changed = bytearray(self.switches.count)
        self._level = bytearray(self.switches.count)
        self._raw = 0
        self._show_lamp = self.board.lamp
        self._show_text = self.board.text

    def attach_store(self, store: "Store") -> None:
        """Load from `store` when the run begins, and save there; not called under the bench."""
        from firmware.play.persistence import Persistence

        self.persistence = Persistence(self.play, store)

    def begin(self, board: Board, seed: int, settings: "dict[int, int]", start_ms: int) -> None:
        """Start the one run of this console. `settings`: values by place in the game's table."""
        self._start = self.timers.now = start_ms
        if self.persistence:
            self.persistence.load()
        for place in sorted(settings):
            if not self.settings.set(place, settings[place]):
                raise GameError(
                    f"setting number {place} was given {settings[place]}, which is out of its range"
                )
        self.play.reseed(seed)
        self.board = board
        self.coils.begin(board)
        # Bound once: binding a method anew allocates.
        self._show_lamp = board.lamp
        self._show_text = board.text
        self.play.cues.attach(board.cue)
        self.play.lamps.calm = bool(self._calm.value)
        self.ambient.apply(board)
        self.play.count_free()
        self.engine.start()
        self.play.show_all = True
        if self.play.faults.count and self.play.faults.unacknowledged():
            self.pad.show_notice(b"FAULTS REPORTED", b"SEE THE PAD")
        self._react()
        self._resolve()

    def _events(self) -> None:
        """Switch events first: their number is the switch's own."""
        for name in self.play.switch_names:
            self.play.events.add(name)
        self._playfield_event = self.play.events.add("playfield")
        self.zones = bytearray([ZONES.index(zone) for zone in zones(self.play.wiring.SWITCHES)])

    def _build(self, game: "GameModule", packed: "PackedCharts | None") -> None:
        play = self.play
        for make in game.FEATURES:
            play.features.append(make(play))
        self._opened = bytearray(0)
        for name in _heard_openings(play):
            play.events.add(name)
        play.offers.spread(play.events.names())
        play.memory.close()
        self.table = _table(play, packed)
        self.engine = Engine(self.table, play.timers, self.trace)
        self.engine.before_event = self._before_event
        play.engine = self.engine
        play.savers = [play.find(name).save for name in game.SAVERS]
        self.turns = play.find("game").turns
        self.turns.reserve()
        for feature in play.features:
            feature.bind()
        self._shows = [_shows(feature) for feature in play.features]
        self._openings = self._opening_events()

    def _opening_events(self) -> "list[int]":
        known = {self.events.name(i): i for i in range(len(self.events))}
        return [known.get(OPENED + name, -1) for name in self.switch_names]

    # Names, by number ------------------------------------------------------------------------

    @property
    def events(self) -> "Events":
        """Event names by number."""
        return self.play.events

    @property
    def switch_names(self) -> "tuple[str, ...]":
        """Switch names by id."""
        return self.play.switch_names

    @property
    def lamp_names(self) -> "tuple[str, ...]":
        """Lamp names by id."""
        return self.play.lamps.names

    @property
    def coil_names(self) -> "tuple[str, ...]":
        """Coil names by id."""
        return self.play.coils.names

    @property
    def cue_names(self) -> "list[str]":
        """Cue names by number."""
        return self.play.cues.names

    @property
    def award_names(self) -> "list[str]":
        """Award names by number."""
        return self.play.score.names

    @property
    def memory(self) -> "Memory":
        """Every value of the machine."""
        return self.play.memory

    def windows(self) -> "list[tuple[str, int, bool]]":
        """Open windows: name, ms left, whether they are frozen."""
        return [(w.name, w.remaining_ms(), w.is_frozen()) for w in self.play.windows if w.remaining_ms()]

    def window_left(self, at: int) -> int:
        """Milliseconds left of the window at this place; 0: it is closed, negative: it stands still."""
        window = self.play.windows[at]
        left = window.remaining_ms()
        return -left if window.is_frozen() else left

    # Between balls ---------------------------------------------------------------------------

    def idle(self) -> None:
        """No ball is in play: set volume and light, save what changed."""
        self.ambient.update(self.now)
        self._save()

    def _save(self) -> None:
        """Request a save of changed persistent values; only while no ball is in play."""
        memory = self.play.memory
        at = memory.unsaved()
        while at >= 0:
            value = memory.values[at]
            value.saved = value.value
            self.trace.add(SAVE, at, value.value)
            at = memory.unsaved(at + 1)
            if self.persistence:
                self.persistence.save_wanted = True
        if self.persistence and self.persistence.needs_save() and self._at_rest():
            self.play.save_waits = not self.coils.is_idle()
            if not self.play.save_waits:
                self.persistence.save()

    def _at_rest(self) -> bool:
        """No ball is in play."""
        play = self.play
        return not play.free and (not play.tilted or not play.out)

    def settings_changed(self) -> None:
        """The operator changed settings: read again what is not read at each use."""
        lamps = self.play.lamps
        lamps.calm = bool(self._calm.value)
        lamps.touch_all()
        self.ambient.apply(self.board)
        self.play.score.changed = True
        if self.persistence:
            self.persistence.save_wanted = True


def _table(play: RuleContext, packed: "PackedCharts | None") -> "Table":
    """The charts of all features in one table. Imported late: a board needs one of the two."""
    if packed:
        from firmware.charts.unpack import unpack

        return unpack(packed, play.features)
    from firmware.charts.model import Region
    from firmware.charts.pack import pack

    return pack([Region(f.name, f, f.chart, f.states) for f in play.features], play.events)


def _shows(feature: "Feature") -> "Feature | None":
    """The feature, if it has a method `show` of its own."""
    return None if type(feature).show is Feature.show else feature


def _heard_openings(play: RuleContext) -> "list[str]":
    """The openings that some chart listens to, as whole event names in wiring order."""
    heard = set()
    for feature in play.features:
        for row in feature.chart:
            _state, event = row[:2]
            if isinstance(event, str):
                for word in event.split():
                    if word.startswith(OPENED):
                        heard.add(word[len(OPENED) :])
    return [
        OPENED + name
        for name in play.switch_names
        if name in heard or any(name.startswith(prefix + ".") for prefix in heard)
    ]


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.charts.events import Events
    from firmware.charts.table import Table
    from firmware.play.interfaces import GameModule, PackedCharts, Store
    from firmware.play.memory import Memory
    from firmware.play.persistence import Persistence
