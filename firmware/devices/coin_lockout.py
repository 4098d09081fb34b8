"""The coin lockout: held while a coin would buy something, so that other coins come back.

A lockout that nobody drives gives coins back (common practice, no source).
"""

from firmware.play.requests import HOLD

NAME = "coin_lockout"
NONE = -1
SAVE_MS = 50  # let go so long for a save, which needs every coil off
RETRY_MS = 5000  # after a refusal


class CoinLockout:
    """Follows `play.accepts_coins`. A game without the coil has no lockout.

    It is looked at when credits may have changed, while no ball is in play, and when it is `stale`.
    """

    def __init__(self, play: "RuleContext", coils: "Coils") -> None:
        names = play.coils.names
        self._coil = names.index(NAME) if NAME in names else NONE
        self._play = play
        self._coils = coils
        self._again = play.clock(self._look_again)
        self.stale = False

    def update(self, barred: bool) -> None:
        """Hold it or let it go; `barred`: the pad has the coils."""
        play = self._play
        self.stale = not play.live
        if self._coil == NONE or barred:
            return
        wanted = play.accepts_coins() and (play.live or not play.save_waits)
        if self._coils.held(self._coil):
            if not wanted:
                self._coils.off(self._coil)
                self._again.start(SAVE_MS)
        elif wanted and not self._again.is_running():
            self._coils.fire(self._coil, HOLD)
            self._again.start(RETRY_MS)

    def _look_again(self) -> None:
        self.stale = True


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.devices.coils import Coils
    from firmware.play.rule_context import RuleContext
