"""One ball: its place, and the points of the drawing between which it moves."""

from dataclasses import dataclass, field

FREE = "free"  # on the playfield, waiting for a shot
HELD = "held"  # in a slot of a device
MOVING = "walking"  # on a route, with a next step that has its time


@dataclass
class Ball:
    """A ball. `place` is for counting; `origin`, `goal`, `since` and `until` (ms) are for drawing.

    `at`: where it lies (mm) when it rolls by itself; None: between its two points.
    """

    number: int
    place: str
    state: str = HELD
    origin: str = ""
    goal: str = ""
    since: int = 0
    until: int = 0
    route: str = ""
    shot: str = ""  # the last one that was made with it
    chosen: dict[str, int] = field(default_factory=dict)
    step_number: int = 0  # of the step that is scheduled; one with another number was cancelled
    catching_coil: str = ""
    least_pulse: int = 0
    was_caught: bool = False
    at: tuple[float, float] | None = None

    def travel(self, goal: str, now_ms: int, until_ms: int) -> None:
        """Start moving to a point of the drawing."""
        self.origin, self.goal = self.goal or goal, goal
        self.since, self.until = now_ms, until_ms

    def settle(self, place: str, point: str, now_ms: int) -> None:
        """Come to rest in a slot of a device."""
        self.state = HELD
        self.place = place
        self.at = None
        self.route = ""
        self.travel(point, now_ms, now_ms)

    def rest(self, now_ms: int) -> None:
        """Come to rest on the playfield, waiting for a shot."""
        self.state = FREE
        self.route = ""
        self.chosen = {}
        self.since = self.until = now_ms
