"""Who hears what: for each event its candidates, in the order in which they are tried."""

from firmware.charts.events import EVERY

TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.charts.tree import Tree


class Index:
    """Collects transitions by descriptor, then lays them out by event."""

    def __init__(self, tree: "Tree") -> None:
        self.tree = tree
        self.source: list[int] = [0]
        self.first: list[int] = []
        self.candidates: list[int] = [0]
        self._heard: dict[str, list[int]] = {}
        self._laid: dict[tuple[int, ...], int] = {(): 0}

    def add(self, number: int, source: int, descriptors: "list[str]") -> None:
        """Transition `number` leaves `source` on any of `descriptors`, without one on none."""
        self.source.append(source)
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

    def build(self, names: "list[str]", branched: bool) -> None:
        """Lay out the candidates of every event, and after them the eventless transitions."""
        every = [self.listeners(name) for name in names]
        every.append(self._deepest_first(self._heard.get("", [])))
        for numbers in every:
            if numbers not in self._laid:
                self._laid[numbers] = len(self.candidates)
                self._lay_out(numbers, branched)
            self.first.append(self._laid[numbers])

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

    def _lay_out(self, numbers: "tuple[int, ...]", branched: bool) -> None:
        tree = self.tree
        regions = [tree.region[self.source[number]] for number in numbers]
        if branched or regions.count(regions[0]) < len(regions):
            self.candidates.append(0)
            for root in sorted(tree.roots):
                self._lay_out_region(root, numbers, branched)
        else:
            self.candidates.extend(numbers)
        self.candidates.append(0)

    def _lay_out_region(self, root: int, numbers: "tuple[int, ...]", branched: bool) -> None:
        """Those that leave a state of the region, or one that holds it, whose answer it may be too."""
        tree = self.tree
        region = tree.region[root]
        mine = []
        for number in numbers:
            source = self.source[number]
            if tree.region[source] == region or tree.within(root, source):
                mine.append(number)
        if branched and mine:
            self.candidates.append(region + 1)
            mine.append(0)
        self.candidates.extend(mine)
