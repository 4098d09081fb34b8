"""Whose ball it is by rules.md: games, turns, the ends of balls, tilts and slams."""

from typing import TYPE_CHECKING

from firmware.games.honey_flow.host.model_features import Features
from firmware.games.honey_flow.host.model_rewards import REPLAY
from firmware.games.honey_flow.host.model_state import Player, Turn
from firmware.games.honey_flow.host.model_switches import BEES, FRAMES, SMOKERS

if TYPE_CHECKING:
    from firmware.play.interfaces import RuleTable

BALLS = 3
STILL_MS = 500


class Turns(Features):
    """Honey Flow's games and balls, as the run shows them, and who must be next."""

    def __init__(self, table: "RuleTable") -> None:
        super().__init__(table)
        self.next = (1, 1)
        self.count = 1
        self.matching = False
        self.ending = False
        self.playing = self.searched = False
        self.started_at = 0  # when the start button was pressed
        self.quiet_at = 0  # until when the machine is shaken
        self.waits_for_quiet = self.draws_gold = self.waits_for_balls = False

    def game_started(self, players: int) -> None:
        """A new game: fresh players, and the jar is raised to 800,000."""
        self.abandon()
        self.waits_for_balls = self.playing
        if not self.playing:
            self.table.expect("event game.started")
        self.playing = True
        self.draws_gold = True
        self.ending = False
        self.players = [Player() for _ in range(4)]
        self.count = players
        self.next = (1, 1)
        self.table.new_game()
        self.jar = max(self.jar, 800_000)
        self.coins.use()

    def player_added(self, players: int) -> None:
        """One more plays."""
        self.count = players
        self.coins.use()

    def ball_started(self, value: int) -> None:
        """A ball starts: `value` is 16 times the player (from 1) and the ball."""
        player, ball = divmod(value, 16)
        self.follow()
        self.waits_for_quiet = self.turn.tilted
        self.table.judge_turn(self.next, (player, ball))
        self.next = (player, ball)
        self.player = self.players[player - 1]
        self.turn.close()
        self.wheels.drop_waiting()
        self.table.start_ball(player)
        self.all_home()
        self.turn = Turn(self.table, self.ladder_late)
        self.searched = False
        self.begins_in_lane()
        self.start_of_ball()
        self.consolation(ball)

    def ball_home(self, _value: int) -> None:
        """Every ball came home."""
        self.waits_for_balls = False
        self.all_home()

    def all_home(self) -> None:
        """No ball is out when trough and hive show them all."""
        if self.balls_home() == BALLS:
            self.table.all_home()
            self.balls.all_home()

    def begins_in_lane(self) -> None:
        """Cabinet: the ball in the shooter lane is the ball, unless one of an ended game is still out."""
        alone = not self.waits_for_balls or self.table.in_trough() + self.held.held >= BALLS - 1
        if self.table.closed("lane") and self.turn.is_new and alone:
            self.turn.live, self.turn.is_new = True, False

    def lost(self, in_play: int) -> None:
        """A ball was lost."""
        super().lost(in_play)
        self.begins_in_lane()

    def balls_home(self) -> int:
        """Those in the trough and in the hive."""
        return self.table.in_trough() + self.balls.hive

    def start_of_ball(self) -> None:
        """What a ball's start does to its player."""
        player = self.player
        self.turn.kept, player.kept = player.kept, 0
        player.flights = min(5, player.flights + 1)
        if self.table.settings["multiplier_each_ball"]:
            player.times = 1

    def ball_ended(self, _ball: int) -> None:
        """The ball is over: unless it tilted, its extra ball and its bonus."""
        player, turn = self.player, self.turn
        self.unseen.ball_over(BEES + SMOKERS + FRAMES)
        self.judge_home()
        turn.ended = True
        if turn.live:
            if turn.fallen and player.extra_lit:
                player.extra_lit = False
                self.table.latch_factor(turn.nectar)
                self.win_extra_ball()
            self.close_ball()
            self.end_bonus(self.next[1] == self.table.settings["balls"] and not player.owed)
        self.ending = True

    def judge_home(self) -> None:
        """Cabinet: a ball ends when the last one is in the trough, which was still for 0.5 s."""
        still = self.table.now - self.table.trough_moved_at
        if still < STILL_MS:
            self.table.object("ball.ended", f"the trough still for {STILL_MS} ms", f"for {still} ms")
        home = self.balls_home()
        if home < BALLS and not self.searched:
            self.table.object("ball.ended", f"{BALLS} balls home", f"{home}")

    def searches(self, _value: int) -> None:
        """The ball search, which may write a ball off, fires a coil."""
        self.searched = True
        self.held.search()

    def follow(self) -> None:
        """The ball that ended is settled, the replays that its bonus reached too: who plays next."""
        if not self.ending:
            return
        self.ending = False
        while self.replays_due() and self.table.shows(REPLAY):
            self.replay()
        if self.replays_due():
            self.table.object("replay", "given before the next ball", "not given")
        if self.player.owed:
            self.player.owed -= 1
        elif self.next[0] < self.count:
            self.next = (self.next[0] + 1, self.next[1])
        else:
            self.next = (1, self.next[1] + 1)

    def abandon(self) -> None:
        """A ball that was started and did not end is a ball too."""
        if not self.turn.ended:
            self.unseen.ball_over(BEES + SMOKERS + FRAMES)
            self.turn.ended = self.turn.abandoned = True
        self.close_ball()

    def close_ball(self) -> None:
        """Windows close; a ladder whose window was open stays lit without a limit."""
        self.turn.close()
        self.table.latch_factor(self.turn.nectar)
        if self.player.ladder == "timed":
            self.player.ladder = "lit"

    def tilted(self, _value: int) -> None:
        """Windows close; nothing scores until the next ball."""
        self.close_ball()
        self.turn.tilted = True

    def slammed(self, _value: int) -> None:
        """The game is over for all."""
        self.abandon()
        self.hive_empties()
        self.next = (0, 0)
        self.ending = self.playing = False

    def game_over(self, _value: int) -> None:
        """Every ball was played, or the machine was slammed."""
        self.follow()
        self.table.judge_end(self.next)
        self.playing = False
        self.matching = bool(self.next[0])
