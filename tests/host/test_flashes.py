"""Lamps and flashers of whole games against the accessibility guideline's figure for flashing light.

WCAG 2.2, success criterion 2.3.1 (read, www.w3.org): nothing flashes more than three times in any one second,
unless it is small or dim: together at most 0.006 steradians, a change of less than 10 % of the greatest
relative luminance or a darker image of 0.80 and more, no saturated red. A flash is a pair of opposing
changes. How bright and large a machine's inserts look nobody can know here, so the count alone is held, lamp
by lamp: all blinks share one phase.
"""

from collections.abc import Iterable, Sequence

import pytest

from firmware.base.trace import COIL, LAMP
from firmware.devices.lamps import lit
from firmware.play import claims
from hil.bench.season import SimulatedGame
from hil.bench.targets.desk import DeskTarget
from hil.bench.view import Record, decode
from hil.command.season_game import Job, match_of
from hil.game_tables import coil_rows
from hil.games import load

FLASHES = 3
SECOND = 1000
CALM = (claims.ON, claims.SLOW, claims.FAST)


class Recorded(DeskTarget):
    """A console whose records are kept."""

    def __init__(self, *given: object) -> None:
        super().__init__(*given)
        self.kept: list[Record] = []

    def records(self) -> bytes:
        data = super().records()
        self.kept += decode(data)
        return data


class RecordedGame(SimulatedGame):
    target_kind = Recorded


def flashes(turns: Sequence[int]) -> int:
    """The most flashes in any one second, of the times (ms) at which a light turns on or off."""
    most = 0
    for at, first in enumerate(turns):
        end = at
        while end < len(turns) and turns[end] < first + SECOND:
            end += 1
        most = max(most, end - at)
    return most // 2


def turns_of(shown: Iterable[tuple[int, int]], until: int) -> list[int]:
    """When a lamp turns on or off, of the patterns that it is given: (ms, pattern)."""
    given = dict(shown)  # the last one of a millisecond
    turns, pattern, level = [], claims.NONE, False
    for now in range(until):
        pattern = given.get(now, pattern)
        if lit(pattern, now) != level:
            level = not level
            turns.append(now)
    return turns


def records_of(game: str, seed: int) -> list[Record]:
    match = match_of(Job(game, "keen", seed, 1, {"balls": 3}, False), kind=RecordedGame)
    match.play(1, 3)
    return match.target.kept


@pytest.mark.parametrize("pattern", CALM)
def test_a_pattern_of_calm_lamps_flashes_three_times_a_second_at_most(pattern):
    assert flashes(turns_of([(0, pattern)], 5 * SECOND)) <= FLASHES


def test_the_rapid_pattern_is_beyond_the_figure_and_so_held_back_by_calm_lamps():
    assert flashes(turns_of([(0, claims.RAPID)], 5 * SECOND)) > FLASHES
    for game in ("honey_flow", "kit_room", "kite_day"):
        rows = [row for row in load(game).module.SETTINGS if row[0] == "calm_lamps"]
        assert rows[0][1] == 1, game
        assert load(game).console().play.lamps.calm, game


@pytest.mark.slow
@pytest.mark.parametrize(("game", "seed"), [("honey_flow", 1), ("honey_flow", 2), ("kite_day", 1)])
def test_no_lamp_of_a_game_flashes_more(game, seed):
    records = records_of(game, seed)
    until = records[-1].ms
    names = [row[0] for row in load(game).wiring.LAMPS]
    for lamp, name in enumerate(names):
        shown = [(record.ms, record.value) for record in records if record.kind == LAMP and record.id == lamp]
        assert flashes(turns_of(shown, until)) <= FLASHES, name


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2])
def test_no_flasher_of_a_game_pulses_more(seed):
    records = records_of("honey_flow", seed)
    flashers = [
        number for number, row in enumerate(coil_rows(load("honey_flow").wiring)) if row.kind == "flasher"
    ]
    assert flashers
    seen = 0
    for coil in flashers:
        pulses = [
            record.ms for record in records if record.kind == COIL and record.id == coil and record.value
        ]
        seen += len(pulses)
        assert flashes([at for at in pulses for _ in "ab"]) <= FLASHES, coil
    assert seen
