"""An independent model of rules.md: who plays, and what each switch pays, without the game's own code.

`Model` takes debounced switch edges and the cabinet's records in order, and gives the table (see
`firmware/play/interfaces.py`) the awards that the rule sheet says. Times are milliseconds.
"""

from typing import TYPE_CHECKING

from firmware.games.honey_flow.host.model_features import Features
from firmware.games.honey_flow.host.model_state import Player, Turn
from firmware.games.honey_flow.host.model_switches import BEES, FRAMES, OUTLANES, PLAYFIELD, SMOKERS

if TYPE_CHECKING:
    from firmware.play.interfaces import RuleTable


BALLS = 3
TOLERANCE_MS = 300  # of windows: which ball of several is on a ramp, no switch says


class Model(Features):
    """Honey Flow's turns, switches and cabinet."""

    def __init__(self, table: "RuleTable") -> None:
        super().__init__(table)
        self.next = (1, 1)
        self.count = 1
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
            "ball_save.given": self.saved,
            "guard_bee.given": self.saved,
        }

    # The cabinet

    def game_started(self, players: int) -> None:
        """A new game: fresh players, and the jar is raised to 800,000."""
        self.turn.close()
        self.players = [Player() for _ in range(4)]
        self.count = players
        self.next = (1, 1)
        self.table.new_game()
        self.jar = max(self.jar, 800_000)

    def player_added(self, players: int) -> None:
        """One more plays."""
        self.count = players

    def ball_started(self, value: int) -> None:
        """A ball starts: `value` is 16 times the player (from 1) and the ball."""
        player, ball = divmod(value, 16)
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
        if turn.live:
            if turn.fallen and player.extra_lit:
                player.extra_lit = False
                self.win_extra_ball()
            self.close_ball()
            self.end_bonus(self.next[1] == self.table.settings["balls"] and not player.owed)
        if player.owed:
            player.owed -= 1
        elif self.next[0] < self.count:
            self.next = (self.next[0] + 1, self.next[1])
        else:
            self.next = (1, self.next[1] + 1)

    def close_ball(self) -> None:
        """Windows close; a ladder whose window was open stays lit without a limit."""
        self.turn.close()
        if self.player.ladder == "timed":
            self.player.ladder = "lit"

    def tilted(self, _value: int) -> None:
        """Windows close; nothing scores until the next ball."""
        self.close_ball()
        self.turn.tilted = True

    def slammed(self, _value: int) -> None:
        """The game is over for all."""
        self.close_ball()
        self.next = (0, 0)

    def game_over(self, _value: int) -> None:
        """Every ball was played, or the machine was slammed."""
        self.table.judge_end(self.next)

    # Switches

    def edge(self, switch: str, closed: bool) -> None:
        """A debounced edge."""
        self.balls.edge(switch, closed)
        if switch == "lane":
            self.lane(closed)
        if switch in PLAYFIELD and closed:
            self.unseen.saw(switch)
            self.balls.playfield(switch)
        if closed and self.turn.live:
            self.closing(switch)

    def closing(self, switch: str) -> None:
        """A switch that closes while a ball is played."""
        if switch in ("button.left", "button.right"):
            self.flipper(switch)
        elif switch.startswith("trough."):
            self.drained()
        elif not switch.startswith("hive."):
            self.hit(switch)

    def hive_ejects(self, _value: int) -> None:
        """The hive's coil throws a ball out."""
        self.balls.hive_ejects()

    # What flipper buttons and the shooter lane do

    def flipper(self, button: str) -> None:
        """Moves the flash of a waiting ball or the lights of bee lanes, and the extra ball."""
        turn = self.turn
        by = -1 if button == "button.left" else 1
        if turn.live:
            turn.side = OUTLANES[turn.side == OUTLANES[0]]
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

    def settle(self) -> None:
        """The last record of this millisecond was given."""
        if self.turn.live:
            self.replay()
