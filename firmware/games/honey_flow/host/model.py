"""An independent model of rules.md: who plays, and what each switch pays, without the game's own code.

`Model` takes debounced switch edges and the cabinet's records in order, and gives the table (see
`firmware/play/interfaces.py`) the awards that the rule sheet says. Times are milliseconds.
"""

from typing import TYPE_CHECKING

from firmware.games.honey_flow.host.model_features import Features
from firmware.games.honey_flow.host.model_lamps import lamps
from firmware.games.honey_flow.host.model_rewards import REPLAY
from firmware.games.honey_flow.host.model_state import Player, Turn
from firmware.games.honey_flow.host.model_switches import BEES, BUTTONS, FRAMES, PLAYFIELD, SMOKERS

if TYPE_CHECKING:
    from firmware.play.interfaces import RuleTable


BALLS = 3
WINDOWS = (
    "nectar_flow.expired",
    "pollen_run.expired",
    "wax_ladder.expired",
    "waggle.expired",
    "cell_open.expired",
    "guard_bee.expired",
    "ball_save.over",
    "swarm_save.expired",
)
RECORDS = (
    REPLAY,
    "event tilted",
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
TOLERANCE_MS = 300  # of windows: which ball of several is on a ramp, no switch says


class Model(Features):
    """Honey Flow's turns, switches and cabinet."""

    def __init__(self, table: "RuleTable") -> None:
        super().__init__(table)
        self.next = (1, 1)
        self.count = 1
        self.matching = False
        self.ending = False
        self.cabinet = {
            "game.started": self.game_started,
            "player.added": self.player_added,
            "ball.started": self.ball_started,
            "ball.ended": self.ball_ended,
            "tilted": self.tilted,
            "game.over": self.game_over,
            "game.slammed": self.slammed,
            "eject.hive": self.hive_ejects,
            "shown.wheel": self.wheel_shows,
            "ball_save.given": self.save_given,
            "guard_bee.given": self.grace_given,
            "ball.lost": self.lost,
            "ball.away": self.away,
            "trough_ejected": self.served,
        }

    # The cabinet

    def game_started(self, players: int) -> None:
        """A new game: fresh players, and the jar is raised to 800,000."""
        self.abandon()
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
        turn.ended = True
        if turn.live:
            if turn.fallen and player.extra_lit:
                player.extra_lit = False
                self.win_extra_ball()
            self.close_ball()
            self.end_bonus(self.next[1] == self.table.settings["balls"] and not player.owed)
        self.ending = True

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
        self.next = (0, 0)
        self.ending = False

    def game_over(self, _value: int) -> None:
        """Every ball was played, or the machine was slammed."""
        self.follow()
        self.table.judge_end(self.next)
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
        if closed:
            self.coins.edge(switch)
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

    def swing(self) -> None:
        """Cabinet: the bob swings: so many warnings, then a tilt."""
        if self.turn.swings_anew(self.table.now):
            tilts = self.turn.swings > self.table.settings["tilt_warnings"]
            self.table.expect("event tilted" if tilts else "cue warning")

    def hive_ejects(self, _value: int) -> None:
        """The hive's coil throws a ball out."""
        self.balls.hive_ejects()

    # What flipper buttons and the shooter lane do

    def away(self, _value: int) -> None:
        """Cabinet: the ball that was served is in play, whether or not the lane's switch saw it."""
        self.table.served_past_lane()

    def served(self, _value: int) -> None:
        """Cabinet: the ball in the lane is the served one."""
        self.table.served_early()

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
            self.table.draw("gold cell", int(name[-1]))
        elif name == "swarm_over" and kind == "cue":
            self.turn.swarming = False
        elif kind == "event" and name in self.cabinet:
            self.cabinet[name](value)
        elif kind == "event" and name in WINDOWS:
            self.turn.window(name).expired(name)
        elif kind == "save":
            self.save(name, value)

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
                self.coins.win()
                self.table.expect("cue match")

    def lamps(self) -> "dict[str, bool | None]":
        """Which lamps are lit; nothing is said while no ball is played."""
        return lamps(self) if self.turn.live else {}
