"""What every plant of a game has: balls, the devices that hold them, drop targets and wheels."""

from simulator.ball import MOVING, Ball
from simulator.devices import BallDevice, DropTarget
from simulator.routes import RouteBook
from simulator.scheduler import Contacts, Scheduler
from simulator.wheel import Wheel

PLAYFIELD = "playfield"


class Mechanisms:
    """Balls and mechanisms of one game; times are ms of the run."""

    def __init__(self, book: RouteBook) -> None:
        self.book = book
        self.now = 0
        self.balls: list[Ball] = []
        self.contacts = Contacts()
        self.scheduler = Scheduler()
        self.devices = {row.name: BallDevice(row, self.scheduler, self.contacts) for row in book.devices}
        self.drop_targets = {
            row.switch: DropTarget(row, self.scheduler, self.contacts) for row in book.latches
        }
        self.wheels = [Wheel(row, self.scheduler, self.contacts) for row in book.wheels]

    def start(self, now_ms: int) -> None:
        """Put every ball at rest in the home device; their contacts close at `now_ms`."""
        self.now = now_ms
        home = self.devices[self.book.home]
        for number in range(self.book.balls):
            ball = Ball(number, home.row.name)
            self.balls.append(ball)
            home.place_ball(ball, number, now_ms)
        self.scheduler.schedule(now_ms, lambda ms: None)  # due at once, so that the contacts are taken

    def places(self) -> dict[str, int]:
        """How many balls are in each place; every device and the playfield are listed even when empty."""
        count = dict.fromkeys((*self.devices, PLAYFIELD), 0)
        for ball in self.balls:
            count[ball.place] = count.get(ball.place, 0) + 1
        return count

    def moving(self) -> int:
        """How many balls are on their way, so that no shot can be made with them."""
        return sum(ball.state == MOVING for ball in self.balls)

    def rolling(self, place: str) -> int:
        """How many balls in a device have not come to rest at their slot; 0 for the playfield."""
        return self.devices[place].rolling() if place in self.devices else 0

    @property
    def home(self) -> str:
        """The device that every ball is in at first."""
        return self.book.home
