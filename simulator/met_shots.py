"""Which shot of a game's routes a rolling ball made, by what it met first."""

from collections.abc import Iterator, Mapping, Sequence

from simulator.routes import STEPS, RouteBook, Step

FROM = "playfield"
MET = ("switch", "switches", "drop target", "device", "point")  # kinds of arguments that a ball may meet
ROUTES = ("route", "routes", "route or none")


class MetShots:
    """The shots of a game by what they meet. `ways`: the switches of each ramp, from its mouth up."""

    def __init__(self, book: RouteBook, ways: Mapping[str, Sequence[str]]) -> None:
        self._book = book
        self._ways = ways
        self._met = {
            shot.name: list(self._names(shot.steps, ())) for shot in book.shots.values() if shot.start == FROM
        }

    def made(self, name: str) -> str:
        """The shot that meets this switch, ramp or hole soonest; "": there is none."""
        return self._soonest(self._ways[name][-1] if name in self._ways else name)

    def rolled_back(self, ramp: str) -> str:
        """The shot that goes on a ramp and not to its last switch; "": there is none."""
        return self._soonest(self._ways[ramp][0], self._ways[ramp][-1])

    def _soonest(self, name: str, without: str = "") -> str:
        rows = [
            (met.index(name), shot)
            for shot, met in self._met.items()
            if name in met and not (without and without in met)
        ]
        return min(rows, key=lambda row: row[0])[1] if rows else ""

    def _names(self, steps: Sequence[Step], within: tuple[str, ...]) -> Iterator[str]:
        """What a ball meets on these steps and on their routes, in order; slots of devices, too."""
        slots = {row.name: row.switches for row in self._book.devices}
        for step in steps:
            for kind, value in zip(STEPS[step.verb], step.arguments, strict=True):
                names = [str(name) for name in (value if isinstance(value, tuple) else (value,))]
                if kind in MET:
                    for name in names:
                        yield from (one for one in (name, *slots.get(name, ())) if one)
                elif kind in ROUTES:
                    for name in names:
                        if name not in within:
                            yield from self._names(self._book.steps.get(name, ()), (*within, name))
