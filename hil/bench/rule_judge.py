"""Compares a run with the game's independent model of its rules: awards, lamps, and who plays next.

A model (host/model.py) may have: TOLERANCE_MS, how near (ms) to a window's end the game's word is taken;
RECORDS, events, cues and pulses ("cue jar", "coil knocker") that must come when the model says so and not
else; `Model.lamps`, which lamps are lit.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from types import ModuleType
from typing import NamedTuple

from hil.bench.rule_lamps import LampJudge
from hil.bench.rule_table import TOLERANCE_MS, Payment, RuleTable
from hil.bench.view import TraceEvent

GIVEN = ("event", "cue", "lamp", "save", "coil")  # kinds of records that a model is given beside edges
MOST = 3  # differences of one run that are reported; later ones follow from the first


class Difference(NamedTuple):
    """Where the model and the game differ. `feature` is the award's, or what else is judged."""

    ms: int
    feature: str
    expected: str
    seen: str


def judge_rules(
    history: Sequence[TraceEvent], settings: Mapping[str, int], rules: ModuleType
) -> list[Difference]:
    """The first differences of a run, in order. `settings` holds every setting of the game."""
    judge = RuleJudge(dict(settings), rules)
    for ms, events in groupby(history, key=lambda event: event.ms):
        judge.take(ms, list(events))
        if len(judge.differences) >= MOST:
            break
    return judge.differences[:MOST]


class RuleJudge:
    """Feeds a run to a model, a millisecond at a time."""

    def __init__(self, settings: dict[str, int], rules: ModuleType) -> None:
        self.table = RuleTable(settings, getattr(rules, "TOLERANCE_MS", TOLERANCE_MS))
        self.model = rules.Model(self.table)
        self.lamps = LampJudge()
        self._records = frozenset(getattr(rules, "RECORDS", ()))
        self.differences: list[Difference] = []
        self._player = 0

    def take(self, ms: int, events: list[TraceEvent]) -> None:
        """Everything of one millisecond."""
        table = self.table
        table.seen = list(self._payments(events))
        table.shown = self._records_shown(events)
        table.advance(ms)
        for event in events:
            self._give(event)
        self.model.settle()
        self._compare()
        self._compare_records()
        self._look_at_lamps()

    def _payments(self, events: list[TraceEvent]) -> Iterator[Payment]:
        player = self._player
        for event in events:
            if event.kind == "event" and event.name == "ball.started":
                player = event.value // 16
            elif event.kind == "award":
                yield Payment(event.name, event.value, player)

    def _give(self, event: TraceEvent) -> None:
        if event.name == "ball.started":
            self._player = event.value // 16
        if event.kind == "edge":
            self.table.contact(event.name, event.value == 1)
            self.model.edge(event.name, event.value == 1)
        elif event.kind == "award":
            self._settle(Payment(event.name, event.value, self._player))
        elif event.kind in GIVEN:
            if event.kind == "lamp":
                self.lamps.record(event.name, event.value)
            elif event.kind == "event":
                self.table.event(event.name)
            elif event.kind == "coil" and event.value:
                self.table.pulse(event.name)
            self.model.event(event.kind, event.name, event.value)

    def _settle(self, payment: Payment) -> None:
        """What was owed from an earlier record is paid."""
        if self.table.owed[payment]:
            self.table.owed[payment] -= 1
            self.table.paid.append(payment)
            self.table.scores[payment.player] += payment.points

    def _compare(self) -> None:
        table = self.table
        seen = Counter(table.seen)
        expected = Counter(table.paid)
        for feature, wanted, shown in table.objections:
            self._add(feature, wanted, shown)
        if seen != expected:
            self._differ(expected - seen, seen - expected)
        table.paid.clear()
        table.objections.clear()

    def _records_shown(self, events: list[TraceEvent]) -> Counter[str]:
        words = (f"{event.kind} {event.name}" for event in events if _happens(event))
        return Counter(word for word in words if word in self._records)

    def _compare_records(self) -> None:
        shown, expected = self.table.shown, self.table.expected
        for name in sorted(shown | expected):
            if shown[name] != expected[name]:
                self._add(name, f"{expected[name]} times", f"{shown[name]} times")
        expected.clear()

    def _look_at_lamps(self) -> None:
        now = self.table.now
        if self.lamps.is_due(now) and hasattr(self.model, "lamps"):
            for name, is_lit in self.lamps.look(now, self.model.lamps()):
                self._add(f"lamp {name}", _lit(not is_lit), _lit(is_lit))

    def _add(self, feature: str, expected: str, seen: str) -> None:
        self.differences.append(Difference(self.table.now, feature, expected, seen))

    def _differ(self, missing: Counter[Payment], extra: Counter[Payment]) -> None:
        names = sorted({payment.award for payment in (*missing, *extra)})
        for name in names:
            wanted = _words([one for one in missing.elements() if one.award == name])
            shown = _words([one for one in extra.elements() if one.award == name])
            self._add(name, wanted, shown)
        for sign, payments in ((1, extra), (-1, missing)):
            for one in payments.elements():
                self.table.scores[one.player] += sign * one.points


def _happens(event: TraceEvent) -> bool:
    return event.kind in ("event", "cue") or (event.kind == "coil" and event.value != 0)


def _words(payments: list[Payment]) -> str:
    return ", ".join(f"{one.award} {one.points:,} for player {one.player}" for one in payments) or "nothing"


def _lit(is_lit: bool) -> str:
    return "lit" if is_lit else "dark"
