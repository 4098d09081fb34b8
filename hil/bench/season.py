"""Plays one simulated game of a season, and judges it by the standing checks."""

from collections.abc import Mapping, Sequence
from typing import Protocol

from hil.bench.evidence import Evidence, Finding
from hil.bench.game_result import GameResult as GameResult
from hil.bench.judge import ScoreWatch, standing_checks
from hil.bench.names import Names
from hil.bench.run_clock import Plant, RunClock
from hil.bench.targets.desk import DeskTarget
from hil.bench.view import View
from hil.game_tables import setting_rows
from hil.games import Game

LIMIT_MS = 4 * 3600 * 1000
BOOT_MS = 1500
TAP_MS = 60
GAP_MS = 300
HOLD_MS = 2_200
LOOK_MS = 40  # the time between two decisions
STUCK_MS = 5_000  # until a player takes it that no ball comes
SETTLED_MS = 45_000  # after the last ball: match, names, game over
BALL_STARTED, BALL_ENDED = "ball.started", "ball.ended"
WAITING = "free"  # the state of a ball that waits for a shot


class WaitingBall(Protocol):
    """The part of a plant's ball that a season reads."""

    @property
    def state(self) -> str:
        """WAITING when a shot can be made with it."""


class BallDevice(Protocol):
    """A mechanism of the plant that holds balls."""

    def ready_ball(self) -> object | None:
        """The ball that can leave next, None when there is none."""


class SeasonPlant(Plant, Protocol):
    """The plant of a season (simulator.plant.Plant): it says which balls wait and counts its failures."""

    failed: int
    strayed: int
    drains: dict[str, int]
    rests: int

    @property
    def balls(self) -> Sequence[WaitingBall]:
        """Every ball of the machine."""

    @property
    def devices(self) -> Mapping[str, BallDevice]:
        """Every mechanism that holds balls, by name."""


class ShotChooser(Protocol):
    """What chooses the shots (SimulatedPlayer and SeeingPlayer of the simulator)."""

    def look(self, lamps: Mapping[str, int], now_ms: int) -> None:
        """See what the lamps show (patterns by name), before a decision."""

    def choose_balls(self, waiting: int, moving: int) -> int:
        """How many of the waiting balls are shot now, while others are moving."""

    def choose_shot(self) -> str:
        """The next shot of a ball at a flipper."""

    def draw_think_ms(self) -> int:
        """How long (ms) the player waits before the next decision."""

    def choose_button(self) -> str:
        """The flipper button pressed before a shot, or ""."""

    def choose_aim(self) -> str:
        """The flipper button pressed before a plunge, or ""."""

    def choose_nudge(self) -> str:
        """The cabinet switch that a rough player closes, or ""."""

    def choose_player_count(self, most: int) -> int:
        """How many play, 1 to `most`."""


class SimulatedGame:
    """One whole game: a ShotChooser plays on a console through the plant, and its records are judged.

    A subclass may replace `clock_kind`, `target_kind` and `limit_ms` (simulated).
    """

    clock_kind: type[RunClock] = RunClock
    target_kind: type[DeskTarget] = DeskTarget
    limit_ms = LIMIT_MS
    evidence: Evidence  # of the game that was played

    def __init__(
        self,
        game: Game,
        names: Names,
        plant: SeasonPlant,
        chooser: ShotChooser,
        seed: int,
        settings: dict[str, int],
    ) -> None:
        self._names = names
        self._plant = plant
        self.wiring = game.wiring
        self._chooser = chooser
        self._game = game
        self.settings = settings
        self._ready_at = 0
        self._shot = ""  # the last one
        self._paid_before = 0  # points, when it was made
        self._played = GameResult(seed, 0)
        self._switch_on()

    def _switch_on(self) -> None:
        """Make the target, its clock, and the view of its records."""
        self.view = View(self._names)
        self.target = self.target_kind(self._game)
        self.clock = self.clock_kind(self.target, self.view, self._plant, self.limit_ms)
        self._scores = ScoreWatch(self.view)
        self.clock.watchers.append(self._scores.check_display)

    def play(self, most_players: int, balls: int) -> GameResult:
        """Play the whole game and judge it. Raises what the console raises."""
        self.clock.start(self._played.seed, self.settings)
        self.clock.run_to(BOOT_MS)
        self._played.players = self._chooser.choose_player_count(most_players)
        for _ in range(self._played.players):
            self._pay()
            self._tap("start")
        self._played.players = max(1, self.view.players)
        while self.view.playing:
            self._move()
        self._enter_names()
        self._finish()
        self._judge(balls)
        return self._played

    def _pay(self) -> None:
        """Insert the coins of one player, unless the machine is in free play."""
        rows = {row.name: self.settings.get(row.name, row.default) for row in setting_rows(self._game.module)}
        if not rows.get("free_play", 1):
            for _ in range(rows["coins_1"]):
                self._tap("coin.1")

    def _move(self) -> None:
        """One decision: plunge, shoot, or wait for LOOK_MS."""
        if self._can_plunge():
            self._plunge()
        elif self.clock.now >= self._ready_at and self._has_waiting():
            self._shoot()
        elif self.view.states.get("trough") == "stuck":
            self._ask_for_ball()
        else:
            self._wait()

    def _can_plunge(self) -> bool:
        """Whether a ball is in the lane and none is on its way."""
        plant = self._plant
        return self.view.switches["lane"] and not plant.moving() and bool(plant.places().get("lane"))

    def _has_waiting(self) -> bool:
        """Whether a ball waits for a shot."""
        return any(ball.state == WAITING for ball in self._plant.balls)

    def _wait(self) -> None:
        """Wait for LOOK_MS, or as many of them as nothing is due in."""
        now = self.clock.now
        ready_at = self._ready_at if self._has_waiting() else None
        dues = [due for due in (ready_at, self._plant.due(), self.target.due()) if due is not None]
        looks = -(-(min(dues) - now) // LOOK_MS) if dues else 1
        self.clock.run_to(now + max(1, looks) * LOOK_MS)

    def _ask_for_ball(self) -> None:
        """The trough gave up after its tries: as a player would, press start for more."""
        self.clock.run_to(self.clock.now + STUCK_MS)
        self._tap("start")

    def _plunge(self) -> None:
        self.clock.run_to(self.clock.now + self._chooser.draw_think_ms())
        button = self._chooser.choose_aim()
        if button:
            self._tap(button)
        if self._plant.devices["lane"].ready_ball():
            self._make("plunge")
        self.clock.run_to(self.clock.now + LOOK_MS)

    def _shoot(self) -> None:
        """Shoot; of other waiting balls as many as the player wants, in the same millisecond."""
        button = self._chooser.choose_button()
        if button:
            self._tap(button)
        shaken = self._chooser.choose_nudge()
        if shaken:
            self._shake(shaken)
        self._chooser.look(self.view.lamps, self.clock.now)
        waiting = sum(ball.state == WAITING for ball in self._plant.balls)
        left = self._chooser.choose_balls(waiting, self._plant.moving())
        for ball in self._plant.balls:
            if left and ball.state == WAITING:
                left -= 1
                self._make(self._chooser.choose_shot())
        self._ready_at = self.clock.now + self._chooser.draw_think_ms()
        self.clock.run_to(self.clock.now + LOOK_MS)

    def _shake(self, switch: str) -> None:
        """Close a cabinet switch: a tap, or a long press of start."""
        self.clock.contact(switch, True)
        self.clock.run_to(self.clock.now + (HOLD_MS if switch == "start" else TAP_MS))
        self.clock.contact(switch, False)

    def _enter_names(self) -> None:
        """Enter names with the start button until the machine is back in attract."""
        until = self.clock.now + SETTLED_MS * self._played.players
        while self.clock.now < until and self.view.states.get("game") != "attract":
            if self.view.states.get("high_scores") == "entering":
                self._tap("start")
            self.clock.run_to(self.clock.now + GAP_MS)

    def _tap(self, switch: str) -> None:
        self.clock.contact(switch, True)
        self.clock.run_to(self.clock.now + TAP_MS)
        self.clock.contact(switch, False)
        self.clock.run_to(self.clock.now + GAP_MS)

    def _make(self, shot: str) -> None:
        """Make a shot now; points that are paid from here on are counted for it."""
        self._count_shot_points()
        self._shot = shot
        self._played.shots[shot] = self._played.shots.get(shot, 0) + 1
        self._plant.shoot(shot, self.clock.now)

    def _count_shot_points(self) -> None:
        points = self.view.paid - self._paid_before
        self._paid_before += points
        if points and self._shot:
            self._played.shot_points[self._shot] = self._played.shot_points.get(self._shot, 0) + points

    def _finish(self) -> None:
        """What is the same in every kind of game."""
        played = self._played
        self._count_shot_points()
        played.digest = self.clock.finish()
        played.players = max(1, self.view.players)
        played.settings = self.settings
        played.ms = self.clock.now
        played.mishaps = {"pulses that failed": self._plant.failed, "balls astray": self._plant.strayed}
        played.drains = dict(self._plant.drains)
        played.scores = [self.view.scores.get(p + 1, 0) for p in range(played.players)]

    def _judge(self, balls: int) -> None:
        played = self._played
        _count(self.view, played)
        rows = {row.name: row.default for row in setting_rows(self._game.module)} | self.settings
        self.evidence = Evidence(
            self.view, self._game.wiring, self.clock.now, self._plant, balls, self._scores, rows
        )
        played.findings = [*standing_checks(self.evidence), *self._not_in_attract()]

    def _not_in_attract(self) -> list[Finding]:
        where = self.view.states.get("game", "nowhere")
        if where == "attract":
            return []
        return [Finding("attract after the game", f"the game is {where}", self.clock.now)]


def _count(view: View, played: GameResult) -> None:
    """What a game's history has of each name."""
    counts = {"cue": played.cues, "event": played.events, "award": played.awards}
    started = 0
    for event in view.history:
        if event.kind in counts:
            counts[event.kind][event.name] = counts[event.kind].get(event.name, 0) + 1
        if event.kind == "award":
            played.points[event.name] = played.points.get(event.name, 0) + event.value
        elif event.kind == "event" and event.name == BALL_STARTED:
            started = event.ms
        elif event.kind == "event" and event.name == BALL_ENDED:
            played.ball_ms.append(event.ms - started)
    played.balls = played.events.get(BALL_STARTED, 0)
    for row, state in view.moves:
        if view.names.rows[row].leads:
            name = f"{view.names.rows[row].region}/{view.names.states[state]}"
            played.entered[name] = played.entered.get(name, 0) + 1
