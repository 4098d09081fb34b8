"""A plain transcription of appendix D of the W3C Recommendation "State Chart XML (SCXML)", 1 September 2015.

Function for function and in the Recommendation's own names and order, with ordinary lists and no
regard for speed, so that the engine can be held against it. Left out: invoke, the data model's
initialisation, blocking. It shares no code with the engine.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field


class Endless(Exception):
    """A macrostep went on for longer than any that ends."""


@dataclass(eq=False)
class Transition:
    source: State
    events: tuple[str, ...] = ()
    target: tuple[State, ...] = ()
    cond: Callable[[Interpreter], bool] | None = None
    internal: bool = False
    content: tuple[Callable[[Interpreter], None], ...] = ()


@dataclass(eq=False)
class State:
    id: str
    kind: str = "state"  # scxml, state, parallel, final, shallow, deep
    parent: State | None = None
    children: list[State] = field(default_factory=list)
    initial: Transition | None = None
    transitions: list[Transition] = field(default_factory=list)
    onentry: tuple[Callable[[Interpreter], None], ...] = ()
    onexit: tuple[Callable[[Interpreter], None], ...] = ()
    order: int = 0

    def add(self, child: State) -> State:
        child.parent = self
        self.children.append(child)
        return child


def number(doc: State) -> list[State]:
    """Document order."""
    states: list[State] = []

    def walk(state: State) -> None:
        state.order = len(states)
        states.append(state)
        for child in state.children:
            walk(child)

    walk(doc)
    return states


def is_history(s: State) -> bool:
    return s.kind in ("shallow", "deep")


def child_states(s: State) -> list[State]:
    return [c for c in s.children if not is_history(c)]


def is_parallel(s: State) -> bool:
    return s.kind == "parallel"


def is_compound(s: State) -> bool:
    return s.kind == "state" and bool(child_states(s))


def is_atomic(s: State) -> bool:
    return s.kind == "final" or (s.kind == "state" and not child_states(s))


def proper_ancestors(s: State, upto: State | None) -> list[State]:
    found = []
    anc = s.parent
    while anc is not None and anc is not upto:
        found.append(anc)
        anc = anc.parent
    return found


def is_descendant(s1: State, s2: State) -> bool:
    return s2 in proper_ancestors(s1, None)


def name_match(descriptors: tuple[str, ...], name: str) -> bool:
    tokens = name.split(".")
    for descriptor in descriptors:
        if descriptor == "*":
            return True
        wanted = descriptor.removesuffix(".*").removesuffix(".").split(".")
        if tokens[: len(wanted)] == wanted:
            return True
    return False


class Interpreter:
    def __init__(self, doc: State) -> None:
        self.doc = doc
        self.configuration: list[State] = []
        self.internal_queue: deque[str] = deque()
        self.history_value: dict[str, list[State]] = {}
        self.running = True
        self.event = ""

    # What executable content may do.

    def raise_(self, name: str) -> None:
        self.internal_queue.append(name)

    def is_in(self, state_id: str) -> bool:
        return any(s.id == state_id for s in self.configuration)

    def execute(self, blocks: tuple[Callable[[Interpreter], None], ...]) -> None:
        for block in blocks:
            try:
                block(self)
            except ArithmeticError:
                self.raise_("error.execution")

    def condition_match(self, t: Transition) -> bool:
        if t.cond is None:
            return True
        try:
            return t.cond(self)
        except ArithmeticError:
            self.raise_("error.execution")
            return False

    # procedure interpret, mainEventLoop

    def start(self) -> None:
        assert self.doc.initial is not None
        self.enter_states([self.doc.initial])
        self.finish_macrostep()

    def send(self, name: str) -> None:
        if not self.running:
            return
        self.event = name
        enabled = self.select_transitions(name)
        if enabled:
            self.microstep(enabled)
        self.finish_macrostep()

    def finish_macrostep(self) -> None:
        macrostep_done = False
        rounds = 0
        while self.running and not macrostep_done:
            rounds += 1
            if rounds > 1000:
                raise Endless
            enabled = self.select_eventless_transitions()
            if not enabled:
                if not self.internal_queue:
                    macrostep_done = True
                else:
                    self.event = self.internal_queue.popleft()
                    enabled = self.select_transitions(self.event)
            if enabled:
                self.microstep(enabled)

    # selection

    def select_eventless_transitions(self) -> list[Transition]:
        return self.select(lambda t: not t.events)

    def select_transitions(self, name: str) -> list[Transition]:
        return self.select(lambda t: bool(t.events) and name_match(t.events, name))

    def select(self, matches: Callable[[Transition], bool]) -> list[Transition]:
        enabled: list[Transition] = []
        atomic = sorted((s for s in self.configuration if is_atomic(s)), key=lambda s: s.order)
        for state in atomic:
            t = self.first_enabled([state, *proper_ancestors(state, None)], matches)
            if t is not None and t not in enabled:
                enabled.append(t)
        return self.remove_conflicting_transitions(enabled)

    def first_enabled(self, chain: list[State], matches: Callable[[Transition], bool]) -> Transition | None:
        for s in chain:
            for t in s.transitions:
                if matches(t) and self.condition_match(t):
                    return t
        return None

    def remove_conflicting_transitions(self, enabled: list[Transition]) -> list[Transition]:
        filtered: list[Transition] = []
        for t1 in enabled:
            preempted = False
            to_remove: list[Transition] = []
            for t2 in filtered:
                exit2 = self.compute_exit_set([t2])
                if any(s in exit2 for s in self.compute_exit_set([t1])):
                    if is_descendant(t1.source, t2.source):
                        to_remove.append(t2)
                    else:
                        preempted = True
                        break
            if not preempted:
                for t3 in to_remove:
                    filtered.remove(t3)
                filtered.append(t1)
        return filtered

    # microstep

    def microstep(self, enabled: list[Transition]) -> None:
        self.exit_states(enabled)
        for t in enabled:
            self.execute(t.content)
        self.enter_states(enabled)

    def compute_exit_set(self, transitions: list[Transition]) -> list[State]:
        to_exit: list[State] = []
        for t in transitions:
            if t.target:
                domain = self.transition_domain(t)
                for s in self.configuration:
                    if domain is not None and is_descendant(s, domain) and s not in to_exit:
                        to_exit.append(s)
        return to_exit

    def exit_states(self, enabled: list[Transition]) -> None:
        to_exit = sorted(self.compute_exit_set(enabled), key=lambda s: -s.order)
        for s in to_exit:
            for h in s.children:
                if h.kind == "deep":
                    self.history_value[h.id] = [
                        s0 for s0 in self.configuration if is_atomic(s0) and is_descendant(s0, s)
                    ]
                elif h.kind == "shallow":
                    self.history_value[h.id] = [s0 for s0 in self.configuration if s0.parent is s]
        for s in to_exit:
            self.execute(s.onexit)
            self.configuration.remove(s)

    def enter_states(self, enabled: list[Transition]) -> None:
        to_enter: list[State] = []
        for_default: list[State] = []
        default_history: dict[str, tuple[Callable[[Interpreter], None], ...]] = {}
        entry = (to_enter, for_default, default_history)
        for t in enabled:
            for s in t.target:
                self.add_descendants(s, *entry)
            ancestor = self.transition_domain(t)
            for s in self.effective_targets(t):
                self.add_ancestors(s, ancestor, *entry)
        for s in sorted(to_enter, key=lambda s: s.order):
            if s not in self.configuration:
                self.configuration.append(s)
            self.execute(s.onentry)
            if s in for_default and s.initial is not None:
                self.execute(s.initial.content)
            if s.id in default_history:
                self.execute(default_history[s.id])
            if s.kind == "final":
                self.enter_final(s)

    def enter_final(self, s: State) -> None:
        parent = s.parent
        assert parent is not None
        if parent.kind == "scxml":
            self.running = False
            return
        grandparent = parent.parent
        assert grandparent is not None
        self.raise_("done.state." + parent.id)
        if is_parallel(grandparent) and all(self.is_in_final_state(c) for c in child_states(grandparent)):
            self.raise_("done.state." + grandparent.id)

    def is_in_final_state(self, s: State) -> bool:
        if is_compound(s):
            return any(c.kind == "final" and c in self.configuration for c in child_states(s))
        if is_parallel(s):
            return all(self.is_in_final_state(c) for c in child_states(s))
        return False

    def add_descendants(self, state: State, to_enter: list, for_default: list, default_history: dict) -> None:
        entry = (to_enter, for_default, default_history)
        if is_history(state):
            assert state.parent is not None
            assert state.initial is not None
            if self.history_value.get(state.id):
                below = tuple(self.history_value[state.id])
            else:
                default_history[state.parent.id] = state.initial.content
                below = state.initial.target
            for s in below:
                self.add_descendants(s, *entry)
            for s in below:
                self.add_ancestors(s, state.parent, *entry)
            return
        if state not in to_enter:
            to_enter.append(state)
        if is_compound(state):
            assert state.initial is not None
            if state not in for_default:
                for_default.append(state)
            for s in state.initial.target:
                self.add_descendants(s, *entry)
            for s in state.initial.target:
                self.add_ancestors(s, state, *entry)
        elif is_parallel(state):
            self.add_missing_children(state, *entry)

    def add_ancestors(
        self, state: State, ancestor: State | None, to_enter: list, for_default: list, default_history: dict
    ) -> None:
        for anc in proper_ancestors(state, ancestor):
            if anc not in to_enter:
                to_enter.append(anc)
            if is_parallel(anc):
                self.add_missing_children(anc, to_enter, for_default, default_history)

    def add_missing_children(
        self, state: State, to_enter: list, for_default: list, default_history: dict
    ) -> None:
        for child in child_states(state):
            if not any(is_descendant(s, child) for s in to_enter):
                self.add_descendants(child, to_enter, for_default, default_history)

    # domains

    def transition_domain(self, t: Transition) -> State | None:
        tstates = self.effective_targets(t)
        if not tstates:
            return None
        if t.internal and is_compound(t.source) and all(is_descendant(s, t.source) for s in tstates):
            return t.source
        return find_lcca([t.source, *tstates])

    def effective_targets(self, t: Transition) -> list[State]:
        targets: list[State] = []
        for s in t.target:
            found: list[State] = [s]
            if is_history(s):
                assert s.initial is not None
                stored = self.history_value.get(s.id)
                found = stored if stored else self.effective_targets(s.initial)
            for state in found:
                if state not in targets:
                    targets.append(state)
        return targets


def find_lcca(states: list[State]) -> State | None:
    for anc in proper_ancestors(states[0], None):
        if (is_compound(anc) or anc.kind == "scxml") and all(is_descendant(s, anc) for s in states[1:]):
            return anc
    return None
