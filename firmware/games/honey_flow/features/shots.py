"""What counts as a shot: orbits once, ramps when made, and the holes that eject balls."""

from firmware.cabinet.hole import SETTLE, Hole
from firmware.cabinet.tunnel import Tunnel
from firmware.charts.model import after, external
from firmware.parts.orbit import Orbit
from firmware.parts.ramp import CLIMB, Ramp
from firmware.play.feature import Feature
from firmware.play.memory import PERSISTENT

ROUND = 1500  # a second closure within this is the same ball going round
TUNNEL = 6000  # ms from the cell to the porch; a ball that takes longer counts as free again


class LeftOrbit(Orbit):
    """The left orbit."""

    name = "left_orbit"
    made_event = "made.orbit.left"
    chart = (
        ("quiet", "orbit.left", "heard", "make"),
        ("heard", after(ROUND), "quiet"),
    )


class RightOrbit(Orbit):
    """The right orbit."""

    name = "right_orbit"
    made_event = "made.orbit.right"
    chart = (
        ("quiet", "orbit.right", "heard", "make"),
        ("heard", after(ROUND), "quiet"),
    )


class LeftRamp(Ramp):
    """The left ramp."""

    name = "left_ramp"
    enter_switch = "ramp_left.enter"
    made_event = "made.ramp.left"
    chart = (
        ("clear", "ramp_left.enter", "climbing", "enter"),
        ("climbing", "ramp_left.enter", external("climbing"), "enter"),
        ("climbing", "ramp_left.made", "clear", ("leave", "make")),
        ("climbing", "playfield", None, "leave", "elsewhere"),
        ("climbing", after(CLIMB), "clear", "leave"),
    )


class RightRamp(Ramp):
    """The right ramp."""

    name = "right_ramp"
    enter_switch = "ramp_right.enter"
    made_event = "made.ramp.right"
    chart = (
        ("clear", "ramp_right.enter", "climbing", "enter"),
        ("climbing", "ramp_right.enter", external("climbing"), "enter"),
        ("climbing", "ramp_right.made", "clear", ("leave", "make")),
        ("climbing", "playfield", None, "leave", "elsewhere"),
        ("climbing", after(CLIMB), "clear", "leave"),
    )


class Scoops(Feature):
    """The cell and the hive count as shots only while a ball is played."""

    name = "scoops"
    span = PERSISTENT
    chart = (
        ("on", "queen_cell", None, "cell", "live"),
        ("on", "entered.hive", None, "hive", "live"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._cell = self.event("made.cell")
        self._hive = self.event("made.hive")

    def live(self, event: int) -> bool:
        """Whether a ball is played."""
        return self.play.live

    def cell(self, event: int) -> None:
        """The Queen's Cell was shot."""
        self._cell.raise_()

    def hive(self, event: int) -> None:
        """The hive was shot."""
        self._hive.raise_()


class CellTunnel(Tunnel):
    """From the Queen's Cell under the playfield to the porch."""

    name = "tunnel"
    chart = (
        ("empty", "queen_cell", "under_way", "enter"),
        ("under_way", "queen_cell", external("under_way"), "enter"),
        ("under_way", "porch", "empty", "leave", "is_last"),
        ("under_way", "porch", external("under_way"), "leave", "not is_last"),
        ("under_way", "ball.home", "empty", "lose"),
        ("under_way", after(TUNNEL), "empty", "lose", "not is_blocked"),
        ("under_way", after(TUNNEL), external("under_way"), None, "is_blocked"),
    )

    def __init__(self, play: "RuleContext") -> None:
        super().__init__(play)
        self._porch = play.switch("porch", self.name)

    def is_blocked(self, event: int) -> bool:
        """Whether a ball on the porch keeps the next one in the tunnel."""
        return bool(self.play.closed[self._porch])


class Porch(Hole):
    """Where the tunnel ends; ejected to the left flipper."""

    name = "porch"
    places = ("porch",)
    eject_coil = "porch_eject"
    chart = (
        ("resting", "porch opened.porch", None, "changed"),
        ("resting", "eject.porch", "ejecting", "pulse"),
        ("ejecting", "opened.porch", None, "leave"),
        ("ejecting", after(SETTLE), "resting", "settle"),
    )


class Hive(Hole):
    """A lane for two balls behind one coil; ejected to the right flipper."""

    name = "hive"
    places = ("hive.1", "hive.2")
    eject_coil = "hive_eject"
    chart = (
        ("resting", "hive opened.hive", None, "changed"),
        ("resting", "eject.hive", "ejecting", "pulse"),
        ("ejecting", "opened.hive", None, "leave"),
        ("ejecting", after(SETTLE), "resting", "settle"),
        ("resting", "slam", None, "empty"),
        ("ejecting", "slam", None, "empty"),
    )

    def empty(self, event: int) -> None:
        """Every ball goes back into play."""
        self.unlock(self.locked)
        self.hold(0)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
