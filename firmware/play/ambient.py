"""How loud and how bright the machine is: volume, quiet hours, dimmed lamps in attract."""

MINUTES = 1440
UNKNOWN = -1
LOUDEST = 10
BRIGHTEST = 100


class Ambient:
    """Settings `volume`, `quiet_from`, `quiet_to`, `quiet_volume`, `attract_light`, `watch_balls`.

    A game without one of them has the usual: full brightness, one volume, no quiet hours. Quiet
    hours need somebody who knows the time (`tell_time`).
    """

    def __init__(self, play: "Playfield") -> None:
        self._play = play
        self._settings = {setting.name: setting for setting in play.settings.all}
        self._board: Any = None
        self._minute = UNKNOWN
        self._told_at = 0
        self._volume = UNKNOWN
        self._light = UNKNOWN

    def begin(self, board: "Board") -> None:
        """Apply the settings, on `board` from now on."""
        self._board = board
        self._play.watch.unseen_balls = self._get("watch_balls", self._play.watch.unseen_balls)
        self.look(self._play.trace.now)

    def tell_time(self, date: int, minute: int, now_ms: int) -> None:
        """It is `date` (like 20260131) and so many minutes past midnight at `now_ms`."""
        self._play.faults.date = date
        self._minute = minute
        self._told_at = now_ms

    def look(self, now_ms: int) -> None:
        """Tell the board what changed; called while no ball is in play."""
        volume = self._get("volume", LOUDEST)
        if self.is_quiet(now_ms):
            volume = min(volume, self._get("quiet_volume", volume))
        if volume != self._volume:
            self._volume = volume
            self._board.volume(volume)
        light = BRIGHTEST if self._play.score.live else self._get("attract_light", BRIGHTEST)
        if light != self._light:
            self._light = light
            self._board.brightness(light)

    def is_quiet(self, now_ms: int) -> bool:
        """Whether these are quiet hours."""
        if self._minute < 0:
            return False
        hour = (self._minute + (now_ms - self._told_at) // 60_000) % MINUTES // 60
        begin = self._get("quiet_from", 0)
        end = self._get("quiet_to", 0)
        if begin <= end:
            return begin <= hour < end
        return hour >= begin or hour < end

    def _get(self, name: str, usual: int) -> int:
        setting = self._settings.get(name)
        return setting.n if setting else usual


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from firmware.board import Board
    from firmware.play.playfield import Playfield
