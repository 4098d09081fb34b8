"""Who hears what: for each event its candidates, in the order in which they are tried."""

from firmware.charts.events import EVERY
from firmware.charts.table import MANY, RIVALS, STAYS

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from firmware.charts.tree import Tree


class Index:
    """Collects transitions by descriptor, then lays them out by event."""

    def __init__(self, tree: "Tree") -> None:
        self.tree = tree
        self.source: list[int] = [0]
        self.domain: Sequence[int] = ()
        self.plan: Sequence[int] = ()
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

    def listeners(self, name: str) -> "list[int]":
        """The transitions that hear an event called `name`."""
        found = list(self._heard.get(EVERY, ()))
        while True:
            for number in self._heard.get(name, ()):
                if number not in found:
                    found.append(number)
            dot = name.rfind(".")
            if dot < 0:
                return found
            name = name[:dot]

    def build(self, names: "list[str]") -> None:
        """Lay out the candidates of every event, and after them the eventless transitions."""
        self._order = self._document_order()
        for name in names:
            self._lay_out(self.listeners(name))
        self._lay_out(self._heard.get("", []))

    def _document_order(self) -> "list[int]":
        """The regions by the place of their topmost state."""
        roots = self.tree.roots
        order: list[int] = []
        for region in range(len(roots)):
            at = len(order)
            while at and roots[order[at - 1]] > roots[region]:
                at -= 1
            order.insert(at, region)
        return order

    def _lay_out(self, numbers: "list[int]") -> None:
        if not numbers:
            self.first.append(0)
            return
        self.first.append(len(self.candidates))
        region = self.tree.region
        one = region[self.source[numbers[0]]]
        for number in numbers:
            if region[self.source[number]] != one:
                break
        else:
            if not self._shared(numbers):
                self.candidates.extend(self._deepest_first(numbers))
                return
        self.candidates.append(0)
        self.candidates.append(RIVALS if self._rivals(numbers) else MANY)
        for group in self._order:
            self._lay_out_group(group, numbers)
        self.candidates.append(0)

    def _lay_out_group(self, group: int, numbers: "list[int]") -> None:
        tree = self.tree
        root = tree.roots[group]
        mine = []
        for number in numbers:
            source = self.source[number]
            if tree.region[source] == group or tree.within(root, source):
                mine.append(number)
        if mine:
            self.candidates.append(group + 1)
            self.candidates.extend(self._deepest_first(mine))

    def _deepest_first(self, numbers: "list[int]") -> "list[int]":
        """Along any chain of ancestors the deeper state has the higher number."""
        order: list[int] = []
        for number in numbers:
            at = len(order)
            while at and (self.source[order[at - 1]], -order[at - 1]) < (self.source[number], -number):
                at -= 1
            order.insert(at, number)
        order.append(0)
        return order

    def _rivals(self, numbers: "list[int]") -> bool:
        """Whether two of `numbers` from different regions can be in conflict, or one be chosen twice."""
        tree = self.tree
        for a in numbers:
            for b in numbers:
                if tree.region[self.source[a]] != tree.region[self.source[b]] and self._meet(a, b):
                    return True
        return self._shared(numbers)

    def _shared(self, numbers: "list[int]") -> bool:
        """Whether a state that one of `numbers` leaves has regions inside: each may choose it."""
        for number in numbers:
            for root in self.tree.roots:
                if self.tree.within(root, self.source[number]):
                    return True
        return False

    def _meet(self, a: int, b: int) -> bool:
        tree = self.tree
        if self.plan[a] == STAYS or self.plan[b] == STAYS:
            return False
        d, e = self.domain[a], self.domain[b]
        return d == e or tree.within(d, e) or tree.within(e, d)
