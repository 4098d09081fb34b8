"""Which states a transition leaves and enters, as the Recommendation's appendix D computes it.

The packer asks once for all that does not depend on what a history remembers; the engine asks
again, without allocating, for transitions through a history.
"""

from firmware.charts.model import COMPOUND, PARALLEL

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from firmware.base.numbers import Numbers

_ENTER = 1  # the state is in statesToEnter
_DEFAULT = 2  # and in statesForDefaultEntry


class HistoryMemory:
    """A history: whose it is, where it remembers, where it leads while nothing is remembered.

    As a target it is written −1 − its number. It remembers in `memory` from `slot` on: the state its
    holder's own region was in, then for a deep one the states of the `nested` regions inside.
    """

    def __init__(self, parent: int, deep: bool) -> None:
        self.parent = parent
        self.deep = deep
        self.default: tuple[int, ...] = ()
        self.content = 0
        self.slot = 0
        self.first = 0
        self.nested = 0


class Paths:
    """Domains and entry sets over numbered states."""

    def __init__(
        self,
        parent: "Sequence[int]",
        end: "Sequence[int]",
        kind: "Sequence[int]",
        initial: "dict[int, tuple[int, ...]]",
        histories: "list[HistoryMemory]",
        blank: "Numbers",
    ) -> None:
        """`blank` is an array of the width of a state number, at least twice as long as there are states."""
        size = len(parent)
        self.out = blank
        self.recalled = False
        self.memory: Sequence[int] = (0,) * (1 + size * len(histories))
        self.content: dict[int, int] = {}
        self.histories = histories
        self.recalls: dict[int, tuple[tuple[int, ...], bool]] = {}  # by transition: targets, external
        self.slot_charts: Sequence[int] = ()  # whose memory each slot is
        self._parent = parent
        self._end = end
        self.kind = kind
        self._initial = initial
        self._marks = bytearray(size)
        self._default_of = bytearray(size)  # by holder: 1 + the history whose default is taken
        self._targets = [0] * (size + 1)  # effective targets, used as a stack
        self._count = 0

    def domain(self, source: int, targets: "tuple[int, ...]", external: bool) -> int:
        """getTransitionDomain: the state whose active descendants are left."""
        self._count = 0
        self._push_targets(targets)
        if not external and self.kind[source] == COMPOUND and self._holds_targets(source):
            return source
        state = self._parent[source]
        while state and not (self.kind[state] == COMPOUND and self._holds_targets(state)):
            state = self._parent[state]
        return state

    def entry(self, targets: "tuple[int, ...]", domain: int) -> None:
        """computeEntrySet, in document order, into `out` up to a 0; contents stand after their state."""
        self.recalled = False
        for target in targets:
            self._add_descendants(target)
        self._count = 0
        self._push_targets(targets)
        for i in range(self._count):
            self._add_ancestors(self._parent[self._targets[i]], domain)
        if domain == 0:
            self._add_regions(0)
        # What a history remembers may lie above the domain; the Recommendation enters it all the same.
        self._write_out(1 if self.recalled else domain + 1, self._end[0 if self.recalled else domain])

    def start(self, root: int) -> None:
        """The entry set of a region when the machine starts, into `out`."""
        self.recalled = False
        self._add_descendants(root)
        self._write_out(root, self._end[root])

    def _holds_targets(self, state: int) -> bool:
        for i in range(self._count):  # all(...) would allocate a generator
            if not state < self._targets[i] < self._end[state]:
                return False
        return True

    def _push(self, state: int) -> None:
        self._targets[self._count] = state
        self._count += 1

    def _push_targets(self, targets: "tuple[int, ...]") -> None:
        """getEffectiveTargetStates, pushed on the stack."""
        for target in targets:
            if target >= 0:
                self._push(target)
                continue
            history = self.histories[-1 - target]
            if not self._push_remembered(history):
                self._push_targets(history.default)  # depth: 4 a default that is a history

    def _push_remembered(self, history: HistoryMemory) -> bool:
        """Push what `history` remembers; False when it remembers nothing."""
        own = self.memory[history.slot]
        if not own:
            return False
        if history.deep:
            for i in range(history.slot, history.slot + 1 + history.nested):
                state = self.memory[i]
                if state and self.kind[state] != PARALLEL:
                    self._push(state)
        elif own == history.parent:
            child = own + 1
            while child < self._end[own]:
                self._push(child)
                child = self._end[child]
        else:
            self._push(own)
        return True

    def _add_descendants(self, state: int) -> None:
        """The Recommendation's addDescendantStatesToEnter."""
        if state < 0:
            self._add_history(-1 - state)
            return
        self._marks[state] |= _ENTER
        kind = self.kind[state]
        if kind == COMPOUND:
            self._marks[state] |= _DEFAULT
            self._add_default(self._initial[state], state)
        elif kind == PARALLEL:
            self._add_regions(state)

    def _add_history(self, number: int) -> None:
        self.recalled = True
        history = self.histories[number]
        start = self._count
        if not self._push_remembered(history):
            self._default_of[history.parent] = number + 1
            self._add_default(history.default, history.parent)
            return
        stop = self._count
        for i in range(start, stop):
            self._add_descendants(self._targets[i])  # depth: 1 it has no history below
        for i in range(start, stop):
            self._add_ancestors(self._parent[self._targets[i]], history.parent)
        self._count = start

    def _add_default(self, targets: "tuple[int, ...]", holder: int) -> None:
        """Enter `targets` below `holder`: an initial transition, or a history's default."""
        for target in targets:
            self._add_descendants(target)  # depth: 4 states within each other
        for target in targets:
            self._add_ancestors(
                self._parent[target] if target >= 0 else self.histories[-1 - target].parent, holder
            )

    def _add_ancestors(self, state: int, ancestor: int) -> None:
        """addAncestorStatesToEnter, from the first ancestor on."""
        while state != ancestor and state:
            self._marks[state] |= _ENTER
            if self.kind[state] == PARALLEL:
                self._add_regions(state)
            state = self._parent[state]

    def _add_regions(self, state: int) -> None:
        """Enter those children of a parallel state of which nothing is entered yet."""
        child = state + 1
        while child < self._end[state]:
            stop = self._end[child]
            within = child + 1
            while within < stop and not self._marks[within]:
                within += 1
            if within >= stop:
                self._add_descendants(child)  # depth: 4 parallel states within each other
            child = stop

    def _write_out(self, first: int, stop: int) -> None:
        """Write the marked states out and forget the marks."""
        count = 0
        out = self.out
        for state in range(first, stop):
            mark = self._marks[state]
            if mark:
                out[count] = state
                count += 1
                if mark & _DEFAULT and state in self.content:
                    out[count] = self.content[state]
                    count += 1
                if self._default_of[state] and self.histories[self._default_of[state] - 1].content:
                    out[count] = self.histories[self._default_of[state] - 1].content
                    count += 1
            self._marks[state] = 0
        for i in range(len(self._default_of)):
            self._default_of[i] = 0
        out[count] = 0
