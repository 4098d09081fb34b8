"""The tables of a game as they are now, with the readings that moving them over needs."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from types import ModuleType

from hil.electrical.windings import WindingRow
from hil.game_tables import CoilRow, LampRow, SwitchRow, WiringTables, coil_rows, lamp_rows, switch_rows
from hil.games import Game

Row = tuple[object, ...]
Steps = tuple[tuple[object, ...], ...]


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
    shots: dict[str, Row] = field(default_factory=dict)
    steps: dict[str, Steps] = field(default_factory=dict)
    search: dict[str, tuple[int, str]] = field(default_factory=dict)

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
    told = game.tables("coils") if has_coils else None
    return Present(
        wiring,
        routes,
        switch_rows(wiring),
        {row.name: row for row in lamp_rows(wiring)},
        {row.name: row for row in coil_rows(wiring)},
        {row[0]: WindingRow(*row) for row in told.COILS} if told else {},
        tuple(told.SUPPLY) if told else (),
        {row[0]: row for row in routes.SHOTS},
        {row[0]: row[1] for row in routes.ROUTES},
        {coil: (first, feature) for coil, first, feature in wiring.SEARCH},
    )
