"""12. Keeper and Queen's Cell: a drop target, a scoop and a wheel of eight stops."""

from firmware.charts.model import ANY
from firmware.parts.guarded_scoop import GuardedScoop
from firmware.parts.wheel import Wheel
from firmware.parts.window import Window
from firmware.play.feature import Feature
from firmware.play.memory import BALL, PERSISTENT

PRIZES = (5_000, 10_000, 25_000, 50_000, 100_000)
BROOD = 5
BROOD_CELLS = 12
NECTAR = 6
SHOWN = 1500  # ms that the stop is shown before the keeper is raised


class QueensWheel(Wheel):
    """Eight stops: 5,000 to 100,000, brood, Nectar Flow, royal; the odds are the operator's choice."""

    name = "wheel"
    stops = 8
    odds = (
        (12, 14, 18, 18, 10, 6, 14, 8),
        (20, 18, 16, 14, 6, 12, 10, 4),
        (26, 22, 16, 10, 3, 16, 6, 1),
    )
    chart = Wheel.chart


class Keeper(GuardedScoop):
    """Knock the keeper down to open the Queen's Cell for 12 seconds."""

    name = "gate"
    span = PERSISTENT
    target_switch = "keeper"
    scoop_switch = "queen_cell"
    reset_coil = "keeper_reset"
    chart = (
        ("up", "keeper", "down", "open"),
        ("up", "ball.started ball.ready", "raising", "begin_raising", "is_down"),
        ("down", "made.cell", "visited", "visit"),
        ("down", "cell_open.expired", "raising", "begin_raising"),
        ("down", "ball.ended ball.abandoned tilted", "raising", "begin_raising"),
        ("visited", "keeper opened.keeper", None, None),
        ("visited", "made.cell", None, "wait_for_pay", "is_down"),
        ("visited", "ball.started", None, "drop_waiting"),
        ("visited", "cell.paid", "raising", "begin_raising", "not is_another_due"),
        ("visited", "cell.paid", None, "visit_next", "is_another_due"),
        ("raising", "made.cell", "visited", "visit", "is_down"),
        ("raising", "keeper opened.keeper", None, None),
        ("raising", "raise.gate", None, "wait_for_clear", "not is_clear"),
        ("raising", "raise.gate", None, "raise_target", "is_clear"),
        ("raising", "check.gate", "up", "give_back", "not is_down"),
        ("raising", "check.gate", None, "raise_target", "may_retry"),
        ("raising", "check.gate", "stuck", ("report_stuck", "give_back"), "failed"),
        ("stuck", "keeper opened.keeper", None, None),
        ("stuck", "made.cell", "stuck_visited", "visit"),
        ("stuck_visited", "keeper opened.keeper", None, None),
        ("stuck_visited", "made.cell", None, "wait_for_pay", "is_down"),
        ("stuck_visited", "ball.started", None, "drop_waiting"),
        ("stuck_visited", "cell.paid", "raising", "begin_raising", "not is_another_due"),
        ("stuck_visited", "cell.paid", None, "visit_next", "is_another_due"),
        ("stuck", "ball.started", "raising", "begin_raising"),
        (ANY, "queen_cell", None, "stop_raising"),
        (ANY, "opened.queen_cell", None, "note_leaving"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._window = Window(self, seconds=12, insert="cell", flasher="flash.queen", name="cell_open")
        self._offer = self.offer("made.cell")
        self._visit = self.event("cell.visited")

    def bind(self) -> None:
        """Set-up is over: find the porch, which holds the ball during a visit."""
        super().bind()
        self._porch = self.play.find("porch")

    def show(self) -> None:
        """Offer the cell while it is open."""
        self._offer.set(not self.is_in("up") and self.is_down(0))

    def open(self, event: int) -> None:
        """The keeper fell: the cell is open for 12 s."""
        self._window.open()

    def visit(self, event: int) -> None:
        """A ball is in the cell: the porch holds it until the wheel has paid."""
        self._window.close()
        self._porch.hold(1)
        self._visit.raise_()

    def visit_next(self, event: int) -> None:
        """The ball before is paid: the wheel turns for the next."""
        self._waiting -= 1  # meant: balls in the cell, no player's value
        self._visit.raise_()

    def give_back(self, event: int) -> None:
        """The porch ejects the ball."""
        self._porch.hold(0)


class QueensCell(Feature):
    """The wheel pays 5,000 to 100,000 or 12 bonus cells, starts Nectar Flow or lights the extra ball."""

    name = "queens_cell"
    span = PERSISTENT
    chart = (
        ("idle", "cell.visited", "turning", "turn"),
        ("turning", "shown.wheel", "paid", "pay"),
        ("paid", "cell.paid", "idle", "darken"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._awards = [self.award("stop_" + str(i + 1), PRIZES[i]) for i in range(len(PRIZES))]
        self._turned = self.value("turned", 0, BALL)
        self._nectar = self.event("nectar.start")
        self._extra_ball_event = self.event("extra_ball.light")
        self._special = self.event("special.win")
        self._paid = self.event("cell.paid")
        self._stand = self.clock(self._paid.post)
        self._turn_cue = self.cue("wheel")
        self._cue = self.cue("wheel_stops")

    def bind(self) -> None:
        """Set-up is over: find the wheel, the bonus and the extra ball."""
        super().bind()
        self._bonus = self.play.find("end_bonus")
        self._wheel = self.play.find("wheel")
        self._extra_ball = self.play.find("extra_ball")

    def turn(self, event: int) -> None:
        """Turn the wheel."""
        self._turned.value = 1
        self._turn_cue.play()
        self._wheel.turn()

    def pay(self, event: int) -> None:
        """Pay the stop that the wheel shows, unless the ball after the one that turned it has started."""
        stop = self.play.engine.value
        self._stand.start(SHOWN)
        self._cue.play()
        if not self._turned.value:
            return
        if stop < BROOD:
            self.news(b"QUEENS CELL", self._awards[stop].pay())
        elif not self.play.live:
            return
        elif stop == BROOD:
            self._bonus.add_cells(BROOD_CELLS)
            self.news(b"BROOD 12 CELLS", 0)
        elif stop == NECTAR:
            self._nectar.raise_()
        elif self._extra_ball.may_light():
            self._extra_ball_event.raise_()
        else:
            self._special.raise_()

    def darken(self, event: int) -> None:
        """The stop was shown for long enough: its lamp goes dark."""
        self._wheel.dark()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
