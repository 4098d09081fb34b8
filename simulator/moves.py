"""Between which points balls can travel, worked out from a game's routes."""

from simulator.routes import STEPS, RouteBook, Step

NOWHERE = ("place", "leave")  # verbs that name a place or device, and move nothing
POINTS = ("switch", "drop target", "point")  # kinds of arguments that a ball travels to
ROUTES = ("route", "route or none", "routes")


def moves(book: RouteBook) -> list[tuple[str, str]]:
    """Every (from, to) of a ball, in the order of the shots."""
    return _Walk(book).found()


def slot_points(book: RouteBook) -> dict[str, tuple[str, ...]]:
    """The points of each device's slots from the exit up: the switch, else device and number from 1."""
    return {
        row.name: tuple(switch or f"{row.name}.{at}" for at, switch in enumerate(row.switches, 1))
        for row in book.devices
    }


class _Walk:
    """Follows every route from every place that a ball may come from."""

    def __init__(self, book: RouteBook) -> None:
        self._book = book
        self._slots = slot_points(book)
        self._moves: dict[tuple[str, str], None] = {}
        self._rests: dict[str, None] = {}
        self._seen: set[tuple[str, str]] = set()

    def found(self) -> list[tuple[str, str]]:
        """Every move; balls at rest on the playfield may begin each shot from there."""
        for row in self._book.devices:
            slots = self._slots[row.name]
            self._moves.update(dict.fromkeys((slots[at + 1], slots[at]) for at in range(len(slots) - 1)))
            if row.coil:
                self._route(row.way_out, slots[0])
        before = -1
        while before != len(self._rests):
            before = len(self._rests)
            for shot in self._book.shots.values():
                starts = [self._slots[shot.start][0]] if shot.start in self._slots else list(self._rests)
                for start in starts:
                    self._route(shot.name, start)
        return list(self._moves)

    def _route(self, name: str, at: str) -> None:
        if (name, at) in self._seen:
            return
        self._seen.add((name, at))
        book = self._book
        for step in book.shots[name].steps if name in book.shots else book.steps[name]:
            at = self._step(step, at)

    def _step(self, step: Step, at: str) -> str:
        """Note a step's moves and what may follow it; returns where the ball is then."""
        verb, arguments = step.verb, step.arguments
        for goal in self._goals(step):
            self._moves[at, goal] = None
            at = goal
        if verb == "bounce":
            switches = _names(arguments[1])
            self._moves.update(dict.fromkeys(zip(switches, switches[1:] + switches[:1], strict=True)))
        elif verb == "rest":
            self._rests[at] = None
        for route in self._followers(step):
            self._route(route, at)
        return at

    def _goals(self, step: Step) -> tuple[str, ...]:
        """The point that a step leads to first, if it leads anywhere."""
        if step.verb in NOWHERE:
            return ()
        for kind, value in zip(STEPS[step.verb], step.arguments, strict=True):
            if kind in POINTS:
                return (str(value),)
            if kind == "switches":
                return _names(value)[:1]
            if kind == "device":
                return (self._slots[str(value)][-1],)
        return ()

    @staticmethod
    def _followers(step: Step) -> tuple[str, ...]:
        """The routes that a ball may continue on after a step."""
        for kind, value in zip(STEPS[step.verb], step.arguments, strict=True):
            if kind in ROUTES and value:
                return _names(value) or (str(value),)
        return ()


def _names(value: object) -> tuple[str, ...]:
    return value if isinstance(value, tuple) else ()
