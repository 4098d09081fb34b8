"""A bank of drop targets that one coil raises: paid when all are down, raised, checked and tried again."""

from firmware.play.feature import Feature
from firmware.play.memory import BALL, PERSISTENT

WAIT = 300  # ms from the last target down to the coil
CHECK = 500  # after a pulse every target must be up by then
TRIES = 3


class DropBank(Feature):
    """The n-th time that all are down pays the n-th of `pays`, the last of them from then on.

        class Drops(DropBank):
            name = "drop"
            switches = ("drop.1", "drop.2")
            reset_coil = "drop_reset"
            pays = (4_000, 8_000)
            chart = DropBank.rows("drop")

    `completed` is for what else a completion does. A target that is excused (play.switch_monitor) need not be
    down. One that stays down is reported as NAME_stuck, and the next ball tries again.
    """

    span = PERSISTENT
    switches: "tuple[SwitchName, ...]" = ()
    reset_coil: "CoilName | NoName" = ""
    pays: "tuple[int, ...]" = ()

    @staticmethod
    def rows(name: str) -> "tuple[tuple[object, ...], ...]":
        """The chart of a bank called `name`, whose switches are NAME.1 and so on."""
        return (
            ("up", name, "raising", "complete", "is_complete"),
            ("up", "ball.started", "raising", "begin_raising", "is_any_down"),
            ("raising", "raise." + name, None, "raise_targets"),
            ("raising", "check." + name, "up", None, "not is_any_down"),
            ("raising", "check." + name, None, "raise_targets", "may_retry"),
            ("raising", "check." + name, "stuck", "report_stuck", "failed"),
            ("stuck", "ball.started", "raising", "begin_raising"),
        )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._targets = [play.switch(name, self.name) for name in self.switches]
        self._excused: bytearray = play.switch_monitor.excused
        self._coil = self.coil(self.reset_coil)
        self._award = self.award("complete")
        self._done = self.value("completions", 0, BALL)
        self._try = self.event("raise." + self.name)
        self._check = self.event("check." + self.name)
        self._wait = self.clock(self._try.post)
        self._verify = self.clock(self._check.post)
        self._tries = 0

    def completions(self) -> int:
        """How often all were down in this ball."""
        return self._done.value

    def completed(self) -> None:
        """The bank was completed and paid: for subclasses."""

    def may_search(self, late: bool) -> bool:
        """Whether ball search may pulse the coil: always, a ball behind the targets is what it is for."""
        return True

    # Guards ----------------------------------------------------------------------------------

    def is_complete(self, event: int) -> bool:
        """Whether every target that can be relied on is down."""
        for switch in self._targets:
            if not self.play.closed[switch] and not self._excused[switch]:
                return False
        return True

    def is_any_down(self, event: int) -> bool:
        """Whether a target is down that is not known to stick."""
        for switch in self._targets:
            if self.play.closed[switch] and not self._excused[switch]:
                return True
        return False

    def may_retry(self, event: int) -> bool:
        """Whether a target is still down and tries are left."""
        return self._tries < TRIES and self.is_any_down(event)

    def failed(self, event: int) -> bool:
        """Whether a target is still down after TRIES pulses."""
        return self._tries >= TRIES and self.is_any_down(event)

    # Actions ---------------------------------------------------------------------------------

    def complete(self, event: int) -> None:
        """All are down: pay, and raise them."""
        self._done.value += 1
        self._award.pay(self.pays[min(self._done.value, len(self.pays)) - 1])
        self.completed()
        self.begin_raising(event)

    def begin_raising(self, event: int) -> None:
        """Raise the targets in WAIT ms, with all tries anew."""
        self._tries = 0
        self._wait.start(WAIT)

    def raise_targets(self, event: int) -> None:
        """Pulse the coil; CHECK ms later every target must be up."""
        self._tries += 1
        self._coil.pulse()
        self._verify.start(CHECK)

    def report_stuck(self, event: int) -> None:
        """Report the fault NAME_stuck."""
        self.play.faults.report(self.name + "_stuck")


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import CoilName, NoName, SwitchName
    from firmware.play.rule_context import RuleContext
