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
        every = [self._laid_out(self.listeners(name), branched) for name in names]
        every.append(self._laid_out(self._deepest_first(self._heard.get("", [])), branched))
        # The longest first: what is the end of another need not be written again.
        known: dict[tuple[int, ...], int] = {(): 0}
        for numbers in sorted(every, key=len, reverse=True):
            if numbers not in known:
                # Nor the 0 that begins it, behind the one that ends another.
                shared = 1 if numbers[0] == 0 and len(self.candidates) > 1 else 0
                for at in range(len(numbers)):
                    known.setdefault(numbers[at:], len(self.candidates) - shared + at)
                self.candidates.extend(numbers[shared:])
        self.first = [known[numbers] for numbers in every]

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

    def _laid_out(self, numbers: "tuple[int, ...]", branched: bool) -> "tuple[int, ...]":
        """The candidates of one event as table.py describes them."""
        tree = self.tree
        regions = [tree.region[self.source[number]] for number in numbers]
        if not numbers:
            return ()
        if not branched and regions.count(regions[0]) == len(regions):
            return numbers + (0,)
        laid: tuple[int, ...] = (0,)
        for root in sorted(tree.roots):
            mine = self._of_region(root, numbers)
            if branched and mine:
                mine = (tree.region[root] + 1,) + mine + (0,)
            laid += mine
        return laid + (0,)

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
