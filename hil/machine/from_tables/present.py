"""The tables of a game as they are now, with the readings that moving them over needs."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from types import ModuleType
from typing import NamedTuple

from hil import game_tables, host_tables
from hil.electrical.windings import WindingRow
from hil.game_tables import CoilRow, FlipperRow, LampRow, SwitchRow, WiringTables
from hil.games import Game
from hil.host_tables import DeviceRow, DropTargetRow, RouteRow, Row, ShotRow, StepRow, Steps, WheelRow


class Search(NamedTuple):
    """When a ball search fires a coil: the first round it does, and the feature that it asks ("": none)."""

    first: int
    feature: str


NEVER = Search(0, "")


@dataclass
class Present:
    """A game's tables; lamps and coils that a line has taken are crossed out in `lamps` and `coils`."""

    wiring: WiringTables
    routes: ModuleType
    switches: list[SwitchRow]
    lamps: dict[str, LampRow]
    coils: dict[str, CoilRow]
    wound: dict[str, WindingRow]
    supply: Row
    flippers: list[FlipperRow] = field(default_factory=list)
    fires: dict[str, str] = field(default_factory=dict)
    """The coil of each switch that has a reflex."""

    devices: list[DeviceRow] = field(default_factory=list)
    latches: dict[str, DropTargetRow] = field(default_factory=dict)
    wheels: list[WheelRow] = field(default_factory=list)
    shots: dict[str, ShotRow] = field(default_factory=dict)
    steps: dict[str, Steps] = field(default_factory=dict)
    search: dict[str, Search] = field(default_factory=dict)

    def take_lamps(self, names: Sequence[str]) -> list[LampRow]:
        """The lamps of these names, if all are there, of one colour, and free."""
        found = [self.lamps[name] for name in names if name in self.lamps]
        if len(found) != len(names) or len({row.colour for row in found}) != 1:
            return []
        for name in names:
            del self.lamps[name]
        return found

    def take_coil(self, name: str) -> CoilRow | None:
        """The coil of this name, once."""
        return self.coils.pop(name, None)


def of_game(game: Game) -> Present:
    """The tables of a game. Raises GameError when one is missing."""
    wiring, routes = game.wiring, game.tables("routes")
    has_coils = game.has_tables("coils")
    coils = game.tables("coils") if has_coils else None
    devices = host_tables.rows(routes, "DEVICES", DeviceRow)
    latches = host_tables.rows(routes, "LATCHES", DropTargetRow)
    shots = host_tables.shot_rows(routes)
    ways = host_tables.rows(routes, "ROUTES", RouteRow)
    return Present(
        wiring,
        routes,
        game_tables.switch_rows(wiring),
        {row.name: row for row in game_tables.lamp_rows(wiring)},
        {row.name: row for row in game_tables.coil_rows(wiring)},
        {row.coil: row for row in host_tables.rows(coils, "COILS", WindingRow)} if coils else {},
        tuple(coils.SUPPLY) if coils else (),
        game_tables.flipper_rows(wiring),
        {row.switch: row.coil for row in game_tables.reflex_rows(wiring)},
        devices,
        {row.switch: row for row in latches},
        host_tables.rows(routes, "WHEELS", WheelRow),
        {row.name: row for row in shots},
        {row.name: row.steps for row in ways},
        {coil: Search(first, feature) for coil, first, feature in wiring.SEARCH},
    )


def last_word(name: object) -> str:
    """What follows the last point of a name; the whole of one without a point."""
    return str(name).rpartition(".")[-1]


def end_of(steps: Steps) -> object:
    """Where steps end: the last value of the last one."""
    *_, last = steps
    *_, place = last
    return place


def hit_by(step: StepRow) -> object:
    """The switch that a step hits; None for a step of another verb."""
    return _subject(step, "hit")


def entered_by(step: StepRow) -> object:
    """The device that a step enters; None for a step of another verb."""
    return _subject(step, "enter")


def _subject(step: StepRow, verb: str) -> object:
    match step:
        case (is_it, _ms, thing, *_) if is_it == verb:
            return thing
    return None
