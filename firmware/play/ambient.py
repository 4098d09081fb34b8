"""How loud and how bright the machine is: volume, quiet hours, dimmed lamps in attract."""

from firmware.base import ticks

MINUTES = 1440
A_MINUTE = 60_000  # ms
UNKNOWN = -1
LOUDEST = 10
BRIGHTEST = 100


class Ambient:
    """Settings `volume`, `quiet_from`, `quiet_to`, `quiet_volume`, `attract_light`, `watch_balls`.

    A game without one of them has its default: full brightness, one volume, no quiet hours. Quiet
    hours need the time of day (`set_time`).
    """

    _board: "Board"  # since `apply`

    def __init__(self, play: "RuleContext") -> None:
        self._play = play
        self._loud, self._quiet_loud = self._find("volume"), self._find("quiet_volume")
        self._from, self._to = self._find("quiet_from"), self._find("quiet_to")
        self._lit, self._balls = self._find("attract_light"), self._find("watch_balls")
        self._minute = UNKNOWN
        self._told_at = 0
        self._volume = UNKNOWN
        self._light = UNKNOWN

    def apply(self, board: "Board") -> None:
        """Apply the settings, on `board` from now on."""
        self._board = board
        self._play.switch_monitor.unseen_balls = _value(self._balls, self._play.switch_monitor.unseen_balls)
        self.update(self._play.trace.now)

    def set_time(self, date: int, minute: int, now_ms: int) -> None:
        """It is `date` (like 20260131) and so many minutes past midnight at `now_ms`."""
        self._play.faults.date = date
        self._minute = minute
        self._told_at = now_ms

    def update(self, now_ms: int) -> None:
        """Set what changed on the board; called while no ball is in play."""
        volume = _value(self._loud, LOUDEST)
        if self.is_quiet(now_ms):
            volume = min(volume, _value(self._quiet_loud, volume))
        if volume != self._volume:
            self._volume = volume
            self._board.volume(volume)
        light = BRIGHTEST if self._play.score.live else _value(self._lit, BRIGHTEST)
        if light != self._light:
            self._light = light
            self._board.brightness(light)

    def is_quiet(self, now_ms: int) -> bool:
        """Whether these are quiet hours."""
        if self._minute < 0:
            return False
        past = ticks.diff(now_ms, self._told_at) // A_MINUTE
        if past > 0:  # carried along, since differences of times end at 6.2 days
            self._minute = (self._minute + past) % MINUTES
            self._told_at = ticks.add(self._told_at, past * A_MINUTE)
        hour = self._minute // 60
        begin = _value(self._from, 0)
        end = _value(self._to, 0)
        if begin <= end:
            return begin <= hour < end
        return hour >= begin or hour < end

    def _find(self, name: str) -> "Setting | None":
        for setting in self._play.settings.all:
            if setting.name == name:
                return setting
        return None


def _value(setting: "Setting | None", usual: int) -> int:
    return setting.value if setting else usual


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.board import Board
    from firmware.play.rule_context import RuleContext
    from firmware.play.settings import Setting
