"""One ball: where it is, and between which points of the drawing it moves."""

from dataclasses import dataclass, field

FREE = "free"  # on the playfield, nobody's shot: it waits for one
HELD = "held"  # in a slot of a device
MOVING = "walking"  # on a route, with a next step that has its time


@dataclass
class Ball:
    """`place` is for counting; `origin`, `goal`, `since`, `until` (ms) are for drawing."""

    number: int
    place: str
    state: str = HELD
    origin: str = ""
    goal: str = ""
    since: int = 0
    until: int = 0
    route: str = ""
    chosen: dict[str, int] = field(default_factory=dict)
    plan_number: int = 0  # counts walks and wake-ups, so that an outdated one is known
    catching_coil: str = ""
    least_pulse: int = 0
    was_caught: bool = False

    def travel(self, goal: str, now_ms: int, until_ms: int) -> None:
        """Be on the way to a point of the drawing."""
        self.origin, self.goal = self.goal or goal, goal
        self.since, self.until = now_ms, until_ms

    def settle(self, place: str, point: str, now_ms: int) -> None:
        """Be at rest in a slot."""
        self.state = HELD
        self.place = place
        self.route = ""
        self.travel(point, now_ms, now_ms)

    def rest(self, now_ms: int) -> None:
        """Wait on the playfield for a shot."""
        self.state = FREE
        self.route = ""
        self.chosen = {}
        self.since = self.until = now_ms
