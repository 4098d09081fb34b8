"""4. Height: a value that thermals and breeze lanes build up, collected in the updraft's saucer."""

from firmware.cabinet.hole import SETTLE, Hole
from firmware.charts.model import after
from firmware.parts.built_value import BuiltValue
from firmware.play.claims import NONE, ON
from firmware.play.feature import Feature
from firmware.play.memory import BALL

LANE = 500
STEPS = (5_000, 10_000, 20_000)  # from each of them on its insert is lit
INSERTS = ("height.1", "height.2", "height.3")


class Updraft(Hole):
    """The saucer: it holds the ball for half a second and ejects it."""

    name = "updraft_hole"
    places = ("updraft",)
    eject_coil = "updraft_eject"
    chart = (
        ("resting", "updraft opened.updraft", None, "changed"),
        ("resting", "eject.updraft_hole", "ejecting", "pulse"),
        ("ejecting", "opened.updraft", None, "leave"),
        ("ejecting", after(SETTLE), "resting", "settle"),
    )


class Height(Feature):
    """The updraft pays the height: 3,000, 100 more a thermal, 500 more a breeze lane, at most 25,000."""

    name = "height"
    span = BALL
    chart = (
        ("flying", "thermal", None, "rise"),
        ("flying", "breeze", None, "rise_with_the_breeze"),
        ("flying", "entered.updraft_hole", None, "collect", "in_play"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._height = BuiltValue(self, start=3_000, step=100, cap=25_000)
        self._lamps = [self.lamp(name) for name in INSERTS]
        self._award = self.award("collected")
        self._cue = self.cue("updraft")

    def show(self) -> None:
        """Set the inserts."""
        for n in range(len(STEPS)):
            self._lamps[n].set(ON if self._height.worth() >= STEPS[n] else NONE)

    def in_play(self, event: int) -> bool:
        """Whether the machine is neither tilted nor between balls."""
        return self.play.live

    def rise(self, event: int) -> None:
        """A thermal."""
        self._height.grow()

    def rise_with_the_breeze(self, event: int) -> None:
        """A breeze lane."""
        self._height.grow(LANE)

    def collect(self, event: int) -> None:
        """The saucer pays the height, which starts again."""
        self._award.pay(self._height.collect())
        self._cue.play()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
