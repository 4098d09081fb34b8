"""Who gets a drained ball back by rules.md: the guard's grace, the ball save and the Swarm's."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from firmware.play.interfaces import ModelWindow, RuleTable

UNSHOWN_MS = 1_500
GRACE_MS = 3_000
SWARM_SAVE_MS = 12_000


class BallSaves:
    """The windows of one ball in which a drain is given back."""

    def __init__(self, table: "RuleTable") -> None:
        self._table = table
        self._waits = table.settings["ball_save"] > 0
        self.save = table.window("ball_save.over", unshown=UNSHOWN_MS)
        self.grace = table.window("guard_bee.expired")
        self.swarm = table.window("swarm_save.expired")

    def windows(self) -> "tuple[ModelWindow, ...]":
        """All three."""
        return self.save, self.grace, self.swarm

    def playfield(self) -> None:
        """The ball's first playfield switch starts the ball save."""
        if self._waits:
            self._waits = False
            self.save.start(1_000 * self._table.settings["ball_save"])

    def kicked(self) -> None:
        """The kickback fired."""
        self.grace.start(GRACE_MS)

    def swarm_starts(self) -> None:
        """Every ball of a Swarm is given back at first."""
        self.swarm.start(SWARM_SAVE_MS)

    def grace_given(self) -> None:
        """The guard gave a ball back: once."""
        if not self.grace.active:
            self._table.object("guard_bee", "the ball is lost", "given back")
        self.grace.stop()

    def save_given(self) -> None:
        """The ball save gave a ball back: the Swarm's any number, the usual one once."""
        if self.swarm.active:
            return
        if not self.save.active:
            self._table.object("ball_save", "the ball is lost", "given back")
        self.save.stop()

    def lost(self) -> None:
        """A ball was lost: nothing may have been open."""
        if any(window.is_open() for window in self.windows()):
            self._table.object("ball_save", "the ball is given back", "lost")

    def is_lit(self) -> "bool | None":
        """The insert `again`."""
        lit = [window.is_lit() for window in (self.save, self.grace, self.swarm)]
        return True if True in lit else None if None in lit else False
