"""The flow of a game: attract, players, balls, extra balls, game over."""

from firmware.cabinet.turns import PlayerTurns
from firmware.charts.model import ANY, State, after
from firmware.play.claims import CABINET, FAST, NONE, SLOW
from firmware.play.counts import SLAMS
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT, PLAYER, PLAYERS

HOLD = 2000  # start held this long in a later ball starts a new game
ALWAYS = 2  # of the setting `restart`: 0 never, 1 in free play
CLOSED = 2000  # and this long after match and names
OVER = 4000  # game over is shown this long before attract


class Flow(Feature):
    """Attract, start, one to four players, their balls in turn, extra balls, game over."""

    name = "game"
    span = PERSISTENT
    states = (
        State("attract"),
        State(
            "playing",
            states=(
                State("quiet"),
                State("serving"),
                State("waiting"),
                State("ball"),
                State("counting"),
                State("turning"),
            ),
        ),
        State("over"),
        State("closed"),
    )
    chart = (
        ("attract", "start", "quiet", "begin", "may_begin"),
        ("attract", "start", None, "refuse", "not may_begin"),
        ("playing", "start", None, "press", "not may_add"),
        ("playing", "start", None, "add_player", "may_add"),
        ("playing", "opened.start", None, "release_start"),
        ("playing", "game.again", "quiet", "begin_again"),
        ("playing", "slam", "over", "slam"),
        ("quiet", "ball.started", "serving", "serve", "not shaken"),
        ("quiet", "tilt_calm", "serving", "serve"),
        ("serving", "ball.ready", "waiting", "ready", "alone"),
        ("serving", "ball.home ball.lost", None, "serve"),
        ("waiting", "ball.away", "ball", None),
        ("ball", "ball.home", "counting", "end_ball"),
        ("counting", "bonus.counted prizes.settled", "turning", None, "not prize_due"),
        ("counting", "bonus.counted prizes.settled", None, "pay_prize", "prize_due"),
        ("turning", None, "quiet", "shoot_again", "owed"),
        ("turning", None, "quiet", "next_turn", "more"),
        ("turning", None, "over", "finish", "done"),
        ("over", after(OVER), "attract", "rest", "not closing"),
        ("over", "game.closed", "closed", None),  # meant: raised by high_scores, where there is one
        ("closed", after(CLOSED), "attract", "rest"),
        (ANY, "door", None, "open_door"),
        (ANY, "opened.door", None, "close_door"),
    )

    _trough: "Trough"
    _shooter: "Shooter"
    _tilt_rule: "Tilt"
    _credits: "Credits"
    _replay: "Replay | None"

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self.turns = PlayerTurns(play)
        self._balls = play.settings.get("balls")
        self._again_setting = play.settings.get("restart")
        self.owed_balls = self.value("extra_balls", 0, PLAYER)
        self._awarded = self.event("extra_ball.awarded")
        self._added = self.event("player.added")
        self._ended = self.event("ball.ended")
        self._settled = self.event("prizes.settled")
        self._over = self.event("game.over")
        self._abandoned = self.event("ball.abandoned")
        self._slammed = self.event("game.slammed")
        self._rested = self.event("game.rested")
        self._again = self.event("game.again")
        self._hold = self.clock(self._again.post)
        self._start_cue = self.cue("start")
        self._over_cue = self.cue("game_over")
        self._refuse_cue = self.cue("refused")
        self._lamp = self.lamp("start", CABINET)
        self._again_lamp = self.lamp("again")
        self._door = play.switch("door", self.name)
        self._closing = False

    def bind(self) -> None:
        """Set-up is over: find the features that the flow of a game needs."""
        super().bind()
        self._trough = self.play.find("trough")
        self._shooter = self.play.find("shooter")
        self._tilt_rule = self.play.find("tilt")
        self._credits = self.play.find("credits")
        self._replay = self.play.get("replay")
        self._closing = self.play.get("high_scores") is not None

    def show(self) -> None:
        """Set the lamps of start and of an owed extra ball."""
        self._lamp.set(SLOW if self.is_in("attract") else NONE)
        self._again_lamp.set(FAST if self.owed_balls.value and self.is_in("playing") else NONE)

    # Guards ----------------------------------------------------------------------------------

    def may_begin(self, event: int) -> bool:
        """Every ball is where it can be served from, and there is a credit."""
        home = self.balls_out() <= 0 and self._trough.balls_home
        return bool(home and self._credits.has_credit())

    def balls_out(self) -> int:
        """How many balls that are not given up as missing are neither at home nor locked."""
        return self.play.balls - self.play.missing - self._trough.balls_home - self.play.locked

    def may_add(self, event: int) -> bool:
        """Whether another player may join: in ball 1, with a place and a credit."""
        most = getattr(self.play.wiring, "PLAYERS", PLAYERS)
        return bool(self.play.ball == 1 and self.play.players < most and self._credits.has_credit())

    def closing(self, event: int) -> bool:
        """Whether the game has a feature that raises `game.closed` after match and names."""
        return self._closing

    def alone(self, event: int) -> bool:
        """Whether no ball of a game that was ended is still out."""
        return self.play.out + self.play.in_lane <= 1

    def shaken(self, event: int) -> bool:
        """Whether the serve has to wait until the tilt bob is still."""
        return bool(self._tilt_rule.is_shaken())

    def prize_due(self, event: int) -> bool:
        """Whether what the ball and its bonus scored reaches a replay that was not paid yet."""
        return self._replay is not None and self._replay.is_due()

    def owed(self, event: int) -> bool:
        """Whether the player has an extra ball to play."""
        return self.owed_balls.value > 0

    def last_player(self) -> bool:
        """Whether the player up is the last one."""
        return self.play.score.player == self.play.players - 1

    def last_ball(self) -> bool:
        """Whether the ball in play is its player's last, as far as is known."""
        return self.play.ball == self._balls.value and not self.owed_balls.value

    def more(self, event: int) -> bool:
        """Whether another turn follows that is no extra ball."""
        return not self.owed_balls.value and not (self.last_player() and self.play.ball == self._balls.value)

    def done(self, event: int) -> bool:
        """Whether the game is over."""
        return not self.owed(event) and not self.more(event)

    # Actions ---------------------------------------------------------------------------------

    def owe_ball(self) -> None:
        """The player up has won an extra ball."""
        self.owed_balls.value += 1
        self._awarded.raise_()

    def begin(self, event: int) -> None:
        """Start a game with one player."""
        self.play.players = 1
        self.play.ball = 1
        self.play.score.clear()
        self._credits.spend()
        self.play.counts.game_begins(self.play.trace.now)
        self._start_cue.play()
        self.turns.request(0, True)

    def begin_again(self, event: int) -> None:
        """End the ball in play and start a new game."""
        self._abandon_ball()
        self._trough.drop_serves()
        self.begin(event)

    def refuse(self, event: int) -> None:
        """No game can start now: play the refusal's sound, and show what is waited for if it is balls."""
        self._refuse_cue.play()
        if self._credits.has_credit():
            self.news(b"BALLS ARE OUT", self.balls_out())

    def add_player(self, event: int) -> None:
        """One more player joins."""
        self.play.players += 1
        self._credits.spend()
        self.play.score.changed = True
        self._start_cue.play()
        self._added.raise_(self.play.players)

    def press(self, event: int) -> None:
        """Held long enough in a later ball: a new game, where that is allowed and paid for."""
        allowed = self._again_setting.value == ALWAYS or (
            self._again_setting.value and self._credits.is_free_play()
        )
        if allowed and self.play.ball > 1 and self._credits.has_credit():
            self._hold.start(HOLD)

    def release_start(self, event: int) -> None:
        """The start button was released before a new game was due."""
        self._hold.stop()

    def serve(self, event: int) -> None:
        """Serve a ball, unless one is out; one on its way, or that waits in the shooter lane, is the ball."""
        if self.play.out:
            return
        if self._trough.is_serving():
            self._trough.leave_to_hand()
        elif self.play.in_lane and self.balls_out() > 0:
            self._shooter.present()
        else:
            self._trough.serve(False)

    def ready(self, event: int) -> None:
        """The ball is there: switches reach the rules, flippers work."""
        self.play.live = not self.play.tilted
        self.play.armed = self.play.live and not self.play.closed[self._door]
        self.play.show_all = True

    def stop_ball(self) -> None:
        """Playfield switches, reflexes and windows stop with the ball."""
        self.play.live = False
        self.play.armed = False
        self.play.show_all = True
        self.play.close_windows()

    def _abandon_ball(self) -> None:
        """The ball ends at once, without a bonus."""
        self.stop_ball()
        self._abandoned.raise_()

    def end_ball(self, event: int) -> None:
        """The last ball drained: its bonus follows."""
        self.stop_ball()
        self._ended.raise_(self.play.ball)

    def pay_prize(self, event: int) -> None:
        """A replay is due: the turn goes on once it is paid, and any other that its points reach."""
        if self._replay:
            self._replay.reach()
        self._settled.post()

    def shoot_again(self, event: int) -> None:
        """The same player plays an owed extra ball."""
        self.owed_balls.value -= 1
        self.turns.request(self.play.score.player, False)

    def next_turn(self, event: int) -> None:
        """The next player, or the first with the next ball."""
        if self.last_player():
            self.play.ball += 1
            self.turns.request(0, False)
        else:
            self.turns.request(self.play.score.player + 1, False)

    def finish(self, event: int) -> None:
        """Game over: count it, then match and names."""
        self.play.score.live = False
        self.play.switch_monitor.ball_over()
        self.play.counts.game_over(self.play.score, self.play.players, self.play.trace.now)
        self._over_cue.play()
        self._over.raise_(self.play.players)

    def slam(self, event: int) -> None:
        """A slam tilt: the game ends at once, without scores."""
        self._abandon_ball()
        self._trough.drop_serves()
        self._slammed.raise_()
        self.play.score.live = False
        self.play.counts.add(SLAMS)
        self.play.switch_monitor.ball_over()
        self.play.counts.game_over(self.play.score, 0, self.play.trace.now)
        self._over.raise_(0)

    def rest(self, event: int) -> None:
        """Back to attract."""
        self._rested.raise_()

    def open_door(self, event: int) -> None:
        """Reflexes and flippers stay off while the door is open."""
        self.play.armed = False

    def close_door(self, event: int) -> None:
        """The door was closed: reflexes and flippers work again."""
        self.play.armed = self.play.live


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.cabinet.credits import Credits
    from firmware.cabinet.replay import Replay
    from firmware.cabinet.shooter import Shooter
    from firmware.cabinet.tilt import Tilt
    from firmware.cabinet.trough import Trough
    from firmware.play.rule_context import RuleContext
