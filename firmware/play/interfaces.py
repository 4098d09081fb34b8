"""Shapes of what the rules and the console are given. For type checkers: no firmware imports it at run time.

It is left out of a board's image (hil.build.staging), as MicroPython has no `typing`.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from typing import Any, Protocol

from firmware.charts.interfaces import PackedCharts as PackedCharts
from firmware.play.feature import Feature
from firmware.play.memory import Value
from firmware.play.name_types import AwardName, SwitchName

# Rows of a game's tables, as written. hil.game_tables names their entries; firmware.play.rows reads them.
SwitchRow = tuple[str, str, str, int, int]  # name, debounce class, zone, row, column
LampRow = tuple[str, str, int, int]  # name, colour, row, column
CoilRow = tuple[str, str, int, int, int, int]  # name, class, usual pulse, longest, rest (ms), drive
HeatRow = tuple[str, int, int, int]  # coil, mA, budget in ms, percent of on-time
ReflexRow = tuple[str, str, int, int]  # switch, coil, pulse, lockout (ms)
FlipperRow = tuple[str, str, str, str, int]  # button, end-of-stroke switch, strong, hold, longest pulse
SearchRow = tuple[str, int, str]  # coil, first round, feature behind it
DisplayRow = tuple[str, int, int, str]  # name, digits, segments of each, what it shows: score or count
ChimeRow = tuple[str, tuple[tuple[str, int], ...]]  # cue, strokes: coil, ms until the next
SettingRow = tuple[str, int, int, int, str, str]  # name, default, least, most, unit, meaning
PresetRow = tuple[str, tuple[tuple[str, int], ...]]  # name, settings with their values
AnswerRow = tuple[str, str, int]  # coil, switch, 1: it closes, 0: it opens

ServiceTables = tuple[
    tuple[SwitchRow, ...],
    tuple[LampRow, ...],
    tuple[CoilRow, ...],
    tuple[FlipperRow, ...],
    tuple[str, ...],
    tuple[PresetRow, ...],
    tuple[AnswerRow, ...],
]

Key = Any  # what a store calls a value: its name on the host, a number on a board; nobody looks inside


class WiringTables(Protocol):
    """A game's `wiring` module, as written."""

    SWITCHES: tuple[SwitchRow, ...]
    LAMPS: tuple[LampRow, ...]
    COILS: tuple[CoilRow, ...]
    HEAT: tuple[HeatRow, ...]
    REFLEXES: tuple[ReflexRow, ...]
    FLIPPERS: tuple[FlipperRow, ...]
    SEARCH: tuple[SearchRow, ...]
    LATCHED: tuple[str, ...]
    INVERTED: tuple[str, ...]
    TROUGH: tuple[str, ...]
    BALLS: int
    SUPPLY_MA: int
    COIL_VOLTS_LOW_MV: int


class GameModule(Protocol):
    """A game's `game` module: everything that makes one machine. It may have `service` besides."""

    NAME: str
    TITLE: bytes
    FEATURES: Sequence[type[Feature]]
    SAVERS: tuple[str, ...]
    SETTINGS: tuple[SettingRow, ...]
    WIRING: WiringTables


class Store(Protocol):
    """Where persistent values are saved; play.persistence says what each method promises."""

    lost: list[str]

    def key(self, name: str) -> Key:
        """What the store calls the value `name`."""

    def load(self) -> dict[Key, int]:
        """The last whole save; empty when there is none."""

    def save(self, pairs: Iterable[tuple[Key, int]]) -> None:
        """Replace the save, wholly or not at all. Raises OSError: not at all."""


class Closable(Protocol):
    """A timed window: what its name is, how long it runs, how it is closed."""

    name: str

    def remaining_ms(self) -> int:
        """Milliseconds left, 0 when it is closed."""

    def is_frozen(self) -> bool:
        """Whether it is open and its time stands still."""

    def close(self) -> None:
        """Close without an event."""


class Endable(Protocol):
    """A lamp show: how it is ended."""

    def end(self) -> None:
        """End without an event; its lamps go back to the rules."""


class Announcer(Protocol):
    """The feature that shows news on the display."""

    def announce(self, title: bytes, points: int) -> None:
        """Show `title` and, when there are any, `points`."""


class BallTrough(Protocol):
    """The feature `trough`, as parts see it."""

    @property
    def balls_home(self) -> int:
        """Balls counted in the trough."""

    def serve(self, auto: bool) -> None:
        """Bring one ball to the shooter lane; `auto`: and plunge it."""

    def in_play(self) -> int:
        """Balls on the playfield or in a device, in the shooter lane, and still to be served."""

    def to_serve(self) -> int:
        """Balls that are still to be served."""


class BallHole(Protocol):
    """A hole that can lock balls, as parts see it."""

    locked: int

    def lock(self) -> None:
        """One ball that rests here belongs to the machine."""

    def unlock(self, balls: int) -> None:
        """So many locked balls are in play again."""

    def hold(self, balls: int) -> None:
        """Hold so many from now on, and eject what is above."""


class GameFlow(Protocol):
    """The feature `game`, as parts see it."""

    owed_balls: Value

    def owe_ball(self) -> None:
        """The player up has won an extra ball."""

    def last_ball(self) -> bool:
        """Whether the ball in play is its player's last."""


class Prize(Protocol):
    """A feature that gives a player something: an extra ball, a credit."""

    def give(self) -> object:
        """Give one."""


# What a game's independent model of its rules (host/model.py) is given: hil.bench.rule_table.


class ModelWindow(Protocol):
    """A time that runs while a ball is free. `left`: ms; `active` until `stop` or the end that is shown."""

    left: int
    active: bool

    def start(self, ms: int) -> None:
        """Open, or open again, for `ms`."""

    def stop(self) -> None:
        """Close, without being late."""

    def is_open(self) -> bool:
        """Whether it is open beyond the tolerance of its end."""

    def is_lit(self) -> bool | None:
        """Whether its insert is lit; None within the tolerance of its end."""


class RuleTable(Protocol):
    """Time, settings and ledger of one run. `free`: how many balls are free; `score`: of the player."""

    now: int
    free: int
    trough_moved_at: int
    settings: dict[str, int]
    scores: Counter[int]

    @property
    def score(self) -> int:
        """Points of the player whose ball it is."""

    def window(self, name: str, late: Callable[[], None] | None = None, unshown: int = 0) -> ModelWindow:
        """A new window, at whose end the run shows the event `name` and `late` is called.

        `unshown`: it counts so many ms longer than it is lit.
        """

    def later(self, at_ms: int, action: Callable[[], None]) -> None:
        """Call `action` at a time, whether or not a ball is free."""

    def closed(self, switch: SwitchName) -> bool:
        """Whether a debounced switch is closed."""

    def latch_factor(self, doubling: ModelWindow) -> None:
        """Awards from here on are doubled if this window is open now."""

    def pay(self, award: AwardName, points: int, doubled: bool = True) -> None:
        """The sheet gives an award now; `doubled`: by the factor."""

    def expect(self, record: str) -> None:
        """The run must show an event or cue ("cue jar") now, which is one of the model's RECORDS."""

    def shows(self, record: str) -> bool:
        """Whether the run shows one of the model's RECORDS now, oftener than it was expected so far."""

    def owe(self, award: AwardName, points: int, times: int, within_ms: int = 0) -> None:
        """The sheet gives an award `times` times, before the next ball; `within_ms`: and in this time."""

    def near(self, award: AwardName, points: int, by: int) -> int:
        """What the game paid for an award now, if it differs by at most `by` points; else `points`."""

    def in_trough(self) -> int:
        """How many balls the trough's switches show."""

    def on_playfield(self) -> None:
        """A playfield switch closed: at least one ball is free."""

    def all_home(self) -> None:
        """Every ball is in a device."""

    def start_ball(self, player: int) -> None:
        """A player's ball starts, and the model makes new windows."""

    def new_game(self) -> None:
        """A game starts: no points, and nothing is owed."""

    def judge_turn(self, expected: tuple[int, int], seen: tuple[int, int]) -> None:
        """A ball starts: whose it is, and what was owed before it."""

    def judge_end(self, following: tuple[int, int]) -> None:
        """The game is over: `following` would be the next player and ball; player 0: it was slammed."""

    def draw(self, what: str, value: int) -> None:
        """Record what chance drew, as the run shows it."""

    def drawn(self, what: str) -> int:
        """What chance drew, as the run shows it."""

    def object(self, feature: str, expected: str, seen: str) -> None:
        """The run shows what the sheet does not allow."""


class RuleModel(Protocol):
    """A game's rules as its sheet says them."""

    def edge(self, switch: str, closed: bool) -> None:
        """A debounced edge."""

    def event(self, kind: str, name: str, value: int) -> None:
        """Another record of the cabinet's: a ball or game that starts or ends, what a wheel shows."""

    def settle(self) -> None:
        """The last record of this millisecond was given."""
