"""A drop target that opens a scoop while it is down; raising it is checked and retried."""

from firmware.base import ticks
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT

CLEAR_MS = 500  # the scoop's switch must have been open for this long before the target is raised
CHECK_MS = 500  # so long after the pulse the target must be up
TRIES = 3


class GuardedScoop(Feature):
    """The target down opens the scoop; when the time is over, or a ball has left it, the target is raised.

        class Den(GuardedScoop):
            name = "den_gate"
            target_switch = "gate"
            scoop_switch = "den"
            reset_coil = "gate_reset"
            chart = (
                ("up", "gate", "down", "open"),
                ("down", "made.den", "raising", "visit"),
                ("down", "den_gate.expired ball.ended ball.abandoned", "raising", "begin_raising"),
                ("raising", "raise.den_gate", None, "wait_for_clear", "not is_clear"),
                ("raising", "raise.den_gate", None, "raise_target", "is_clear"),
                ("raising", "check.den_gate", "up", None, "not is_down"),
                ("raising", "check.den_gate", None, "raise_target", "may_retry"),
                ("raising", "check.den_gate", "stuck", "report_stuck", "failed"),
                ("stuck", "ball.started", "raising", "begin_raising"),
                (ANY, "den", None, "stop_raising"),
                (ANY, "opened.den", None, "note_leaving"),
            )

            def __init__(self, play):
                super().__init__(play)
                self._window = Window(self, seconds=12, insert="lit")
                self._award = self.award("visited", 10_000)

            def open(self, event): self._window.open()

            def visit(self, event):
                self._window.close()
                self._award.pay()
                self.begin_raising(event)

    The target is never raised while the scoop's switch is closed or was within CLEAR_MS. Subclasses give the
    two switches, the coil, a window for the time, and the chart. `wait_for_pay` counts a second ball that
    comes while one is paid, `drop_waiting` forgets it.
    """

    span = PERSISTENT
    target_switch: "SwitchName | NoName" = ""
    scoop_switch: "SwitchName | NoName" = ""
    reset_coil: "CoilName | NoName" = ""

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._target = play.switch(self.target_switch, self.name)
        self._scoop = play.switch(self.scoop_switch, self.name)
        self._coil = self.coil(self.reset_coil)
        self._try = self.event("raise." + self.name)
        self._check = self.event("check." + self.name)
        self._wait = self.clock(self._try.post)
        self._verify = self.clock(self._check.post)
        self._left_at = -CLEAR_MS
        self._tries = 0
        self._waiting = 0

    def is_down(self, event: int) -> bool:
        """Whether the target's switch is closed: it is down."""
        return bool(self.play.closed[self._target])

    def is_clear(self, event: int) -> bool:
        """Whether the scoop is empty and has been for CLEAR_MS."""
        past = ticks.diff(self.play.trace.now, self._left_at)
        return not self.play.closed[self._scoop] and not 0 <= past < CLEAR_MS

    def may_search(self, late: bool) -> bool:
        """Whether ball search may raise the target: only when the scoop is clear, `late` or not."""
        return self.is_clear(0)

    def is_another_due(self, event: int) -> bool:
        """Whether a ball came into the open scoop while another was being paid."""
        return self._waiting > 0

    def wait_for_pay(self, event: int) -> None:
        """One more ball in the open scoop, which is paid after those before it."""
        self._waiting += 1

    def drop_waiting(self, event: int) -> None:
        """A new ball: those that came before it and were not paid yet are not."""
        self._waiting = 0

    def stop_raising(self, event: int) -> None:
        """A ball came into the scoop: a pulse that has begun or waits for its turn is not for now."""
        if self._verify.is_running():
            self._coil.release()

    def note_leaving(self, event: int) -> None:
        """Record when a ball left the scoop."""
        self._left_at = self.play.trace.now

    def begin_raising(self, event: int) -> None:
        """Raise the target in 1 ms; TRIES pulses are allowed again."""
        self._tries = 0
        self._wait.start(1)

    def wait_for_clear(self, event: int) -> None:
        """Try again in CLEAR_MS."""
        self._wait.start(CLEAR_MS)

    def raise_target(self, event: int) -> None:
        """Pulse the coil when the scoop is clear; the result is checked CHECK_MS later."""
        if not self.is_clear(event):
            self.wait_for_clear(event)
            return
        self._tries += 1
        self._coil.pulse()
        self._verify.start(CHECK_MS)

    def may_retry(self, event: int) -> bool:
        """Whether the target is still down and tries are left."""
        return self._tries < TRIES and self.is_down(event)

    def failed(self, event: int) -> bool:
        """Whether the target is still down after TRIES pulses."""
        return self._tries >= TRIES and self.is_down(event)

    def report_stuck(self, event: int) -> None:
        """Report the fault NAME_stuck."""
        self.play.faults.report(self.name + "_stuck")


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import CoilName, NoName, SwitchName
    from firmware.play.rule_context import RuleContext
