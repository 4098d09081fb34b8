"""What `inlane check` finds in a drawing as a table: where balls get out or lodge, what they never meet."""

from collections.abc import Iterator

from hil import games
from hil.checks.source import Finding
from hil.command import drawn
from hil.command.at_desk import DeskSetup
from hil.games import Game

DROPPED = 40  # balls
LASTS_MS = 9000
SEED = 1
NEAR = 20.0  # mm between balls that lodge at one place


def findings(name: str, drops: bool) -> list[Finding]:
    """Notes on a game's own drawing, when pymunk is there; `drops`: drop balls, too, which takes seconds."""
    game = games.load(name)
    if not drawn.path(game).is_file():
        return []
    try:
        import pymunk  # noqa: F401 - to see whether it is there
    except ModuleNotFoundError:
        return []
    shown = f"{name}/host/{drawn.path(game).name}"
    notes = [*_still(game), *(_dropped(game) if drops else ())]
    return [Finding(text, shown, fatal=False) for text in notes]


def _still(game: Game) -> Iterator[str]:
    """What the shapes themselves say."""
    from hil.command import rolling  # loaded only here: it needs pymunk
    from simulator.table.reach import Reach

    table = rolling.table_of(DeskSetup(game), SEED)
    yield from table.layout.remarks
    for way in table.layout.ways:
        for x, y in way.level_places:
            at = f"'{way.name}' at {x:.0f}, {y:.0f} mm"
            yield f"a ball can lie still on {at}: height and slope of the playfield are even there"
    found = Reach(table).search()
    if found.escape is not None:
        x, y = found.escape
        yield f"a ball gets off the playfield at {x:.0f}, {y:.0f} mm: there is a gap in the outer wall"
    else:
        for name in found.unmet:
            yield f"no ball gets to '{name}'"


def _dropped(game: Game) -> Iterator[str]:
    """What becomes of balls that are dropped wherever one can get to."""
    from hil.command import rolling  # loaded only here: it needs pymunk
    from simulator.table.drop_test import DropTable, DropTest
    from simulator.table.reach import Reach

    setup = DeskSetup(game)
    places = Reach(rolling.table_of(setup, SEED)).search().free
    found = DropTest(DropTable(*rolling.parts_of(setup), SEED), SEED, places).run(DROPPED, LASTS_MS)
    if found.left:
        yield f"{len(found.left)} of {found.balls} dropped balls left the playfield"
    told: list[tuple[float, float]] = []
    for x, y in sorted(found.rested):
        if all(abs(x - u) + abs(y - v) > NEAR for u, v in told):
            told.append((x, y))
            yield f"a dropped ball lay still for 5 s at {x:.0f}, {y:.0f} mm"
