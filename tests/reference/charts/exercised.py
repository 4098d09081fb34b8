"""The transcription of appendix D with a tally of what it was made to do: which kinds of things came up."""

from __future__ import annotations

from collections import Counter

import appendix_d as reference


class Tallied(reference.Interpreter):
    """Counts into `tally`; decides nothing."""

    def __init__(self, doc: reference.State, tally: Counter[str]) -> None:
        super().__init__(doc)
        self.tally = tally

    def raise_(self, name: str) -> None:
        kind = "done events raised" if name.startswith("done.state.") else "events raised by actions"
        self.tally["errors of actions and guards" if name == "error.execution" else kind] += 1
        super().raise_(name)

    def condition_match(self, t: reference.Transition) -> bool:
        yes = super().condition_match(t)
        if t.cond is not None:
            self.tally["guards that held" if yes else "guards that did not hold"] += 1
        return yes

    def remove_conflicting_transitions(
        self, enabled: list[reference.Transition]
    ) -> list[reference.Transition]:
        left = super().remove_conflicting_transitions(enabled)
        self.tally["transitions removed by a conflict"] += len(enabled) - len(left)
        return left

    def microstep(self, enabled: list[reference.Transition]) -> None:
        self.tally["microsteps"] += 1
        self.tally["microsteps with several transitions"] += len(enabled) > 1
        for t in enabled:
            self._tally_transition(t)
        super().microstep(enabled)

    def _tally_transition(self, t: reference.Transition) -> None:
        self.tally["eventless transitions"] += not t.events
        self.tally["targetless transitions"] += not t.target
        self.tally["transitions with two targets"] += len(t.target) > 1
        self.tally["transitions on a done event"] += self.event.startswith("done.state.") and bool(t.events)
        self.tally["transitions on error.execution"] += self.event == "error.execution" and bool(t.events)
        if any(reference.is_descendant(s, t.source) for s in t.target):
            self.tally["internal ones into a child" if t.internal else "external ones into a child"] += 1

    def add_descendants(
        self, state: reference.State, to_enter: list, for_default: list, default_history: dict
    ) -> None:
        if reference.is_history(state):
            known = "recalled" if self.history_value.get(state.id) else "by default"
            self.tally[f"{state.kind} histories entered, {known}"] += 1
        super().add_descendants(state, to_enter, for_default, default_history)

    def enter_final(self, s: reference.State) -> None:
        self.tally["final states entered"] += 1
        super().enter_final(s)
