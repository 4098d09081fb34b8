"""Who hears what: for each event its candidates, in the order in which they are tried."""

from firmware.charts.events import EVERY

TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.charts.table import AnyHeard, Candidate, HeardByRegion
    from firmware.charts.tree import Tree


class Index:
    """Collects transitions by descriptor, then lays them out by event."""

    def __init__(self, tree: "Tree") -> None:
        self.tree = tree
        self.source: list[int] = [0]
        self._guard: list[int] = [0]
        self._heard: dict[str, list[int]] = {}
        self._candidates: dict[int, Candidate] = {}

    def add(self, number: int, source: int, guard: int, descriptors: "list[str]") -> None:
        """Transition `number` leaves `source` on any of `descriptors`, or on none, if `guard` holds."""
        self.source.append(source)
        self._guard.append(guard)
        for descriptor in descriptors or [""]:
            if descriptor.endswith(".*"):
                descriptor = descriptor[:-2]
            elif descriptor.endswith("."):
                descriptor = descriptor[:-1]
            numbers = self._heard.setdefault(descriptor, [])
            if number not in numbers:
                numbers.append(number)

    def listeners(self, name: str) -> "tuple[int, ...]":
        """The transitions that hear an event called `name`, the deepest first."""
        found = list(self._heard.get(EVERY, ()))
        while True:
            found.extend(self._heard.get(name, ()))
            dot = name.rfind(".")
            if dot < 0:
                return self._deepest_first(found)
            name = name[:dot]

    def heard(self, names: "list[str]", branched: bool) -> "tuple[AnyHeard, ...]":
        """The candidates of every event, and after them the eventless transitions."""
        every = [self.listeners(name) for name in names]
        every.append(self._deepest_first(self._heard.get("", [])))
        known: dict[tuple[int, ...], AnyHeard] = {}
        for numbers in every:
            if numbers not in known:
                known[numbers] = self._laid_out(numbers, branched)
        return tuple([known[numbers] for numbers in every])

    def _deepest_first(self, numbers: "list[int]") -> "tuple[int, ...]":
        """Along any chain of ancestors the deeper state has the higher number; each transition once."""
        order: list[int] = []
        for number in numbers:
            at = len(order)
            while at and (self.source[order[at - 1]], -order[at - 1]) < (self.source[number], -number):
                at -= 1
            if not (at and order[at - 1] == number):
                order.insert(at, number)
        return tuple(order)

    def _laid_out(self, numbers: "tuple[int, ...]", branched: bool) -> "AnyHeard":
        """The candidates of one event as table.py describes them."""
        candidates = [self._candidate(number) for number in numbers]
        if not branched:
            charts = sorted({each[1] for each in candidates})
            return tuple([each for chart in charts for each in candidates if each[1] == chart])
        laid: HeardByRegion = ()
        for root in sorted(self.tree.roots) if numbers else ():
            mine = tuple([self._candidate(number) for number in self._of_region(root, numbers)])
            if mine:
                laid += ((self.tree.region[root], mine),)
        return laid

    def _candidate(self, number: int) -> "Candidate":
        if number not in self._candidates:
            source = self.source[number]
            self._candidates[number] = (
                number,
                self.tree.region[source],
                source,
                self.tree.end[source],
                self._guard[number],
            )
        return self._candidates[number]

    def _of_region(self, root: int, numbers: "tuple[int, ...]") -> "tuple[int, ...]":
        """Those that leave a state of the region, or one that holds it, whose answer it may be too."""
        tree = self.tree
        region = tree.region[root]
        mine: tuple[int, ...] = ()
        for number in numbers:
            source = self.source[number]
            if tree.region[source] == region or tree.within(root, source):
                mine += (number,)
        return mine
