"""An independent model of rules.md: who plays, and what each switch pays, without the game's own code.

`Model` takes debounced switch edges, coils and the cabinet's records in order, and gives the table (see
`firmware/play/interfaces.py`) the awards that the rule sheet says. Times are milliseconds.

What chance draws (gold cell, wheel, match) is taken from the run; its odds are tested elsewhere. Within
TOLERANCE_MS of a window's end the run says when it is over, and within 5 s after a replay when the second one
follows. Not judged, since neither a switch nor a ball's place shows it: blink rates, flashers, display pages but
the scores, cues but those of RECORDS, chattering and stuck switches, the order of the ball search, the time that
a forgotten ball waits, letters of high scores, and what happens while nobody plays.
"""

from typing import TYPE_CHECKING

from firmware.games.honey_flow.host.model_features import CELL_MS, Features
from firmware.games.honey_flow.host.model_lamps import lamps, lamps_of_tilt
from firmware.games.honey_flow.host.model_rewards import REPLAY
from firmware.games.honey_flow.host.model_state import Player, Turn
from firmware.games.honey_flow.host.model_switches import BEES, BUTTONS, FRAMES, PLAYFIELD, SMOKERS

if TYPE_CHECKING:
    from firmware.play.interfaces import RuleTable


BALLS = 3
PLAYERS = 4
STILL_MS = 500
QUIET_MS = 3_000
HELD_MS = 2_000
RECORDS = (
    REPLAY,
    "event tilted",
    "event game.started",
    "event game.slammed",
    "event player.added",
    "cue warning",
    "cue special",
    "cue extra_ball",
    "cue match",
    "cue jar",
    "cue swarm",
    "cue kickback",
    "cue bees_full",
    "cue grand_wax",
)
TOLERANCE_MS = 20  # a contact's debounce: which ball of two the lane and the trough show first


class Model(Features):
    """Honey Flow's turns, switches and cabinet."""

    def __init__(self, table: "RuleTable") -> None:
        super().__init__(table)
        self.next = (1, 1)
        self.count = 1
        self.matching = False
        self.ending = False
        self.playing = self.searched = False
        self.started_at = 0  # when the start button was pressed
        self.quiet_at = 0  # until when the machine is shaken
        self.waits_for_quiet = self.draws_gold = False
        self.cabinet = {
            "game.started": self.game_started,
            "player.added": self.player_added,
            "ball.started": self.ball_started,
            "ball.ended": self.ball_ended,
            "tilted": self.tilted,
            "search.look": self.searches,
            "game.over": self.game_over,
            "game.slammed": self.slammed,
            "eject.hive": self.hive_ejects,
            "shown.wheel": self.wheel_shows,
            "ball_save.given": self.save_given,
            "guard_bee.given": self.grace_given,
            "ball.lost": self.lost,
        }

    # The cabinet

    def game_started(self, players: int) -> None:
        """A new game: fresh players, and the jar is raised to 800,000."""
        self.abandon()
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
        self.table.start_ball(player)
        if self.table.in_trough() + self.balls.hive == BALLS:
            self.table.all_home()
            self.balls.all_home()
        self.turn = Turn(self.table, self.ladder_late)
        self.start_of_ball()
        self.consolation(ball)

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
        home = self.table.in_trough() + self.balls.hive
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
            self.turn.ended = True
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
        self.held.let_go()
        self.next = (0, 0)
        self.ending = self.playing = False

    def game_over(self, _value: int) -> None:
        """Every ball was played, or the machine was slammed."""
        self.follow()
        self.table.judge_end(self.next)
        self.playing = False
        self.matching = bool(self.next[0])

    # Switches

    def edge(self, switch: str, closed: bool) -> None:
        """A debounced edge."""
        self.balls.edge(switch, closed)
        if switch == "lane":
            self.lane(closed)
        if switch in PLAYFIELD and closed:
            self.unseen.saw(switch)
            self.balls.playfield(switch)
        self.keeper.edge(switch, closed)
        if closed:
            self.coins.edge(switch)
            self.at_any_time(switch)
        elif switch == "start":
            self.started_at = 0
        if closed and (self.turn.live or self.turn.is_new):
            self.turn.turn_side(switch)
        if closed and self.turn.live:
            self.closing(switch)

    def closing(self, switch: str) -> None:
        """A switch that closes while a ball is played."""
        if switch in BUTTONS:
            self.flipper(switch)
        elif switch.startswith("trough."):
            self.drained()
        elif switch == "tilt":
            self.swing()
        elif not switch.startswith("hive."):
            self.hit(switch)

    def at_any_time(self, switch: str) -> None:
        """What the cabinet's switches do whether or not a ball is played."""
        if switch == "tilt":
            self.quiet_at = self.table.now + QUIET_MS
        elif switch == "slam" and self.playing:
            self.table.expect("event game.slammed")
        elif switch == "start" and self.playing:
            self.start()

    def start(self) -> None:
        """Cabinet: in ball 1 it adds a player; held 2 s in a later ball it starts a new game."""
        if self.next[1] == 1:
            if self.count < PLAYERS and self.coins.are_enough():
                self.table.expect("event player.added")
            return
        pressed = self.started_at = self.table.now
        self.table.later(pressed + HELD_MS, lambda: self.start_held(pressed))

    def start_held(self, pressed: int) -> None:
        """Cabinet: the start button was held from `pressed` on."""
        restart = self.table.settings["restart"]
        may = restart == 2 or (restart == 1 and self.table.settings["free_play"] == 1)
        if self.started_at == pressed and self.playing and may and self.coins.are_enough():
            self.table.expect("event game.started")

    def swing(self) -> None:
        """Cabinet: the bob swings: so many warnings, then a tilt."""
        if self.turn.swings_anew(self.table.now):
            tilts = self.turn.swings > self.table.settings["tilt_warnings"]
            self.table.expect("event tilted" if tilts else "cue warning")

    def hive_ejects(self, _value: int) -> None:
        """The hive's coil throws a ball out."""
        self.held.judge_eject(self.balls.hive)
        self.balls.hive_ejects()

    # What flipper buttons and the shooter lane do

    def flipper(self, button: str) -> None:
        """Moves the flash of a waiting ball or the lights of bee lanes."""
        turn = self.turn
        by = -1 if button == "button.left" else 1
        if turn.aiming and self.table.closed("lane"):
            turn.flash = (turn.flash + by) % 3
        elif turn.live:
            turn.bees = [turn.bees[(lane - by) % 3] for lane in range(3)]

    def lane(self, closed: bool) -> None:
        """A ball came to the shooter lane, with which the ball's play begins, or left it."""
        turn = self.turn
        if closed:
            turn.live = turn.live or turn.is_new
            turn.is_new = False
            return
        turn.flying = turn.aiming
        if self.balls.hive and self.balls.hive + self.player.counted >= 2:
            turn.swarm_ready = not turn.swarming

    # What the run shows

    def event(self, kind: str, name: str, value: int) -> None:
        """Another record: balls and games, the wheel, the gold cell's lamp."""
        if kind == "lamp" and name.startswith("times.") and value > 1:
            self.gold_cell_blinks(int(name[-1]))
        elif kind == "lamp" and name == "cell" and value:
            self.cell_blinks()
        elif kind == "coil" and value:
            self.pulse(name)
        elif name == "swarm_over" and kind == "cue":
            self.swarm_over()
        elif kind == "event" and name in self.cabinet:
            self.cabinet[name](value)
        elif kind == "save":
            self.save(name, value)

    def pulse(self, coil: str) -> None:
        """A coil fired."""
        self.keeper.pulse(coil, self.turn.live)
        if coil == "knocker":
            self.knocks.knock()
        elif coil == "trough_eject" and self.waits_for_quiet:
            self.waits_for_quiet = False
            if self.table.now < self.quiet_at:
                self.table.object("tilt", "the next serve waits for 3 s of quiet", "served")

    def cell_blinks(self) -> None:
        """12: the cell's time begins."""
        if not self.turn.cell.active and self.keeper.may_be_up():
            self.turn.cell.start(CELL_MS)

    def gold_cell_blinks(self, times: int) -> None:
        """3: drawn once a game."""
        drawn = self.table.drawn("gold cell")
        if drawn != times and not self.draws_gold:
            self.table.object("gold cell", f"{drawn} all game", f"{times}")
        self.table.draw("gold cell", times)
        self.draws_gold = False

    def swarm_over(self) -> None:
        """13: it is over when one ball is left."""
        self.turn.swarming = False
        if self.table.in_trough() + 1 < BALLS:
            self.table.object("swarm", "more than one ball is in play", "over")

    def save(self, name: str, value: int) -> None:
        """A kept value is saved: credits, and the digits that were drawn."""
        if name == "credits.credits":
            self.coins.saved(value)
        elif name == "match.drawn":
            self.table.draw("match", value)

    def settle(self) -> None:
        """The last record of this millisecond was given."""
        if self.turn.live or self.ending:
            self.replay()
        if self.matching:
            self.matching = False
            self.match()
        self.coins.judge()

    def match(self) -> None:
        """Cabinet: a credit for each player whose last two digits were drawn."""
        if not self.table.settings["match"]:
            return
        for player in range(1, self.count + 1):
            if self.table.scores[player] // 10 % 10 == self.table.drawn("match"):
                self.win_credit()
                self.table.expect("cue match")

    def lamps(self) -> "dict[str, bool | None]":
        """Which lamps are lit; nothing is said while no ball is played."""
        if self.turn.tilted and not self.turn.ended:
            return lamps_of_tilt()
        return lamps(self) if self.turn.live else {}
