"""A timed window: something is lit for a time, which is frozen while no ball is free."""

from firmware.play.claims import FAST, NONE, SLOW, WINDOW
from firmware.play.feature import Feature
from firmware.play.rule_context import FREE

HURRY = 5000  # the insert blinks fast from here on
WARN = 2000  # the flasher pulses once a blink from here on
BLINK = 400  # one period of the fast blink


class Window:
    """Opens, restarts, extends up to a cap, hurries, warns, and raises `NAME.expired` when it is over.

        class PollenRun(Feature):
            name = "pollen_run"
            chart = (
                ("dark", "inlane.left", "lit", "open"),
                ("lit", "inlane.left", None, "open"),
                ("lit", "made.ramp", "dark", "collect"),
                ("lit", "pollen_run.expired", "dark", None),
            )

            def __init__(self, play):
                super().__init__(play)
                self._run = Window(self, seconds=14, insert="lit", flasher="flash")
                self._award = self.award("made", 20_000)

            def open(self, event): self._run.open()

            def collect(self, event):
                self._run.close()
                self._award.pay()

    NAME is the feature's, unless the window has a `name` of its own. Its insert blinks slowly, fast for the
    last 5 s; in the last 2 s the cue `hurry` is played and the flasher pulses. It closes by itself when the
    ball ends, without an event. `seconds` is the usual length; `open_for` takes another in ms.
    """

    def __init__(
        self,
        feature: Feature,
        seconds: int = 0,
        insert: "LampName | NoName" = "",
        flasher: "CoilName | NoName" = "",
        name: str = "",
        cue: "CueName | NoName" = "hurry",
    ) -> None:
        self.name = name or feature.name
        self.length = seconds * 1000
        self._claim = feature.lamp(insert, WINDOW) if insert else None
        self._flasher = feature.flasher(flasher) if flasher else None
        self._cue = feature.cue(cue)
        self._late = feature.event(self.name + ".expired")
        self._clock = feature.clock(self._stage, FREE)
        self._after = 0
        self._warned = False
        feature.play.windows.append(self)

    def open(self) -> None:
        """Open, or start again, for the usual length."""
        self._warned = False
        self._run(self.length)

    def open_for(self, ms: int) -> None:
        """Open, or start again, for `ms`."""
        self._warned = False
        self._run(ms)

    def extend(self, ms: int, cap: int) -> None:
        """Add `ms`, but never beyond `cap` ms left. Nothing happens when it is closed."""
        left = self.remaining_ms()
        if left and left < cap:
            self._run(min(left + ms, cap))

    def close(self) -> None:
        """Close without an event."""
        self._clock.stop()
        self._after = 0
        self._light(NONE)

    def remaining_ms(self) -> int:
        """Milliseconds left, 0 when it is closed."""
        return self._clock.remaining_ms() + self._after if self.is_open() else 0

    def is_open(self) -> bool:
        """Whether it is open, also when it was frozen at its very end."""
        return self._clock.is_running()

    def is_frozen(self) -> bool:
        """Whether it is open and its time stands still."""
        return self._clock.is_frozen()

    def _run(self, ms: int) -> None:
        if ms > HURRY:
            self._after = HURRY
            self._light(SLOW)
        elif ms > WARN:
            self._after = WARN
            self._light(FAST)
        else:
            self._after = (ms - 1) // BLINK * BLINK
            self._light(FAST)
            self._warn()
        self._clock.start(ms - self._after)

    def _stage(self) -> None:
        if self._after:
            self._run(self._after)
        else:
            self._light(NONE)
            self._late.post()

    def _warn(self) -> None:
        if not self._warned:
            self._warned = True
            self._cue.play()
        if self._flasher:
            self._flasher.pulse()

    def _light(self, pattern: int) -> None:
        if self._claim:
            self._claim.set(pattern)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import CoilName, CueName, LampName, NoName
