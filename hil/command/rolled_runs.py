"""Runs of many seeded balls: dropped on a table without rules, or played by a simulated player."""

import math
from collections.abc import Iterator

from hil.command import rolling
from hil.command.at_desk import DeskSetup
from hil.command.tally import Tally
from simulator.drawing.geometry import Point
from simulator.table.drop_test import REST, DropTable, DropTest
from simulator.table.reach import Reach
from simulator.table.rolling_table import RollingTable

STEP_MS = 20
SEARCHED_MS = 40_000  # 15 s until a ball search, its rounds, and what a held flipper puts off


def dropped(setup: DeskSetup, count: int, seed: int, lasts_ms: int, at_once: int) -> Iterator[Tally]:
    """Balls dropped on tables without rules, `at_once` on each."""
    parts = rolling.parts_of(setup)
    places = Reach(rolling.table_of(setup, seed)).search().free
    for first in range(0, count, at_once):
        number = min(at_once, count - first)
        table = DropTable(*parts, seed + first)
        found = DropTest(table, seed + first, places).run(number, lasts_ms, again=True)
        yield Tally(number, found.left, found.rested, found.longest_ms, found.nudges)


def played(setup: DeskSetup, count: int, seed: int, lasts_ms: int) -> Iterator[Tally]:
    """Games by rules and a simulated player, each for as long, one seed after the other."""
    for number in range(seed, seed + count):
        machine = rolling.switch_on(setup, number, {}, watched=True)
        watch = Stillness(machine.table)
        while machine.now < lasts_ms:
            machine.run_to(machine.now + STEP_MS)
            watch.look(machine.now)
        yield Tally(1, watch.left, watch.lodged, watch.longest_ms)


class Stillness:
    """Watches for how long balls lie still on a table that is played."""

    def __init__(self, table: RollingTable) -> None:
        self.left: list[Point] = []
        self.lodged: list[Point] = []
        self.longest_ms = 0
        self._table = table
        self._since: dict[int, tuple[Point, int]] = {}

    def look(self, now_ms: int) -> None:
        """Look where every ball is."""
        rolling_now = {roller.ball.number: roller.place for roller in self._table.rollers}
        self._since = {number: since for number, since in self._since.items() if number in rolling_now}
        width, height = self._table.drawing.size
        for number, at in rolling_now.items():
            before, since_ms = self._since.get(number, (at, now_ms))
            if not (0 < at[0] < width and 0 < at[1] < height):
                self.left.append(before)
            if math.dist(before, at) > REST or number not in self._since:
                self._since[number] = at, now_ms
                continue
            if now_ms - since_ms > SEARCHED_MS >= self.longest_ms:
                self.lodged.append(at)
            self.longest_ms = max(self.longest_ms, now_ms - since_ms)
