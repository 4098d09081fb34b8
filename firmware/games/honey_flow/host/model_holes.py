"""The Queen's Cell, its wheel, the hive and the Swarm of rules.md (12 and 13)."""

from typing import TYPE_CHECKING

from firmware.games.honey_flow.host.model_devices import GIVES_BACK_MS, HeldBalls, Keeper, WheelTurns
from firmware.games.honey_flow.host.model_rewards import Rewards
from firmware.games.honey_flow.host.model_state import FreeBalls
from firmware.games.honey_flow.host.model_switches import PLAYFIELD

if TYPE_CHECKING:
    from firmware.play.interfaces import RuleTable

STOPS = (5_000, 10_000, 25_000, 50_000, 100_000)
STOP_AWARDS = (
    "queens_cell.stop_1",
    "queens_cell.stop_2",
    "queens_cell.stop_3",
    "queens_cell.stop_4",
    "queens_cell.stop_5",
)
BROOD_STOP, NECTAR_STOP, ROYAL_STOP = 5, 6, 7
BROOD_CELLS = 12
CELL_MS = 12_000


class Holes(Rewards):
    """What a ball in a hole starts. `table` keeps time and ledger."""

    def __init__(self, table: "RuleTable") -> None:
        super().__init__(table)
        self.balls = FreeBalls(table, self.into_hive)
        self.wheels = WheelTurns(table)
        self.keeper = Keeper(table)
        self.held = HeldBalls(table)

    def into_hive(self) -> None:
        """A ball came into the hive."""
        self.gives_back()

    def gives_back(self) -> None:
        """13: balls that are not held are given back in time."""
        self.table.later(self.table.now + GIVES_BACK_MS, self.judge_given_back)

    def judge_given_back(self) -> None:
        """13: a ball that is not held was given back."""
        if self.balls.hive > self.held.held and self.balls.rests_for(GIVES_BACK_MS):
            self.table.object("hive", "the ball is given back", "held")

    def cell_is_open(self) -> bool:
        """12: the keeper is down."""
        return self.table.closed("keeper")

    def queens_cell(self, switch: str) -> None:
        """12: a ball in the open cell turns the wheel."""
        if switch == "keeper" and not self.keeper.is_raised():
            self.turn.cell.start(CELL_MS)
        if switch == "queen_cell" and self.cell_is_open():
            self.turn.cell.stop()
            self.keeper.visited()
            self.wheels.turn(self.turn)

    def wheel_shows(self, stop: int) -> None:
        """12: what the wheel shows is paid to the ball that turned it, after its end points only."""
        turned_by = self.wheels.shown()
        if turned_by is not self.turn or self.turn.tilted or self.turn.abandoned:
            return
        self.table.latch_factor(self.turn.nectar)
        if stop < len(STOPS):
            self.table.pay(STOP_AWARDS[stop], STOPS[stop])
        elif not self.turn.live:
            return
        elif stop == BROOD_STOP:
            self.turn.cells += BROOD_CELLS
        elif stop == NECTAR_STOP:
            self.start_nectar()
        elif self.player.extra_lit or self.player.extra_won >= self.table.settings["extra_balls"]:
            self.special()
        else:
            self.light_extra_ball()

    def hive_lock(self, switch: str) -> None:
        """13: lock lit and a ball in the hive."""
        player = self.player
        if switch == "hive" and player.lock_lit and not self.turn.swarming:
            self.table.pay("hive_lock.ball_held", 15_000)
            player.locked += 1
            if self.table.in_trough():
                self.held.hold()
            else:
                player.counted += 1
            player.lock_lit = not self.two_held()

    def two_held(self) -> bool:
        """13: two balls are held, or counted for this player."""
        return self.held.held + self.player.counted >= 2

    def swarm_starts(self, switch: str) -> None:
        """13: the first playfield switch of a ball that was served with two held."""
        if switch in PLAYFIELD and self.turn.swarm_ready:
            self.turn.swarm_ready = False
            self.turn.swarming = True
            self.turn.saves.swarm_starts()
            self.table.expect("cue swarm")
            self.turn.jar_won = False
            self.player.lock_lit = False
            self.player.counted = 0
            self.hive_empties()

    def hive_empties(self) -> None:
        """13: the hive lets its balls go."""
        self.held.let_go()
        self.balls.moved()
        self.gives_back()
        for player in self.players:
            player.locked = 0

    def swarm(self, switch: str) -> None:
        """13: the first left ramp wins the jar, later ones 75,000."""
        turn = self.turn
        if switch != "ramp_left.made" or not turn.swarming:
            return
        if turn.jar_won:
            self.table.pay("swarm.left_ramp", 75_000)
        else:
            turn.jar_won = True
            self.win_jar()
