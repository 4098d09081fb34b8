"""A console that notes which feature asked for each lamp and coil, so that the desk can show the chart row.

The trace names the feature of an award, and has the rows taken, but not who asked for a lamp or a coil.
"""

from firmware.base.trace import COIL, LAMP, REFUSED, Trace
from firmware.console import Console
from firmware.play.claims import DARK, LOW, NONE, SHOW, Claim, Claims
from firmware.play.interfaces import PackedCharts
from firmware.play.requests import CoilHandle, CoilQueue
from hil.bench.view import TraceEvent, View
from hil.game_tables import GameModule
from simulator.desk.inside import Cause

EVENT_WORDS = {"award": "award", "coil": "coil", "lamp": "lamp", "refused": "refused coil", "move": "chart"}
KIND_WORDS = {LAMP: "lamp", COIL: "coil", REFUSED: "refused"}


class Causes:
    """Who asked for what; `asked` by (ms, kind, name of lamp or coil): the feature."""

    def __init__(self) -> None:
        self.asked: dict[tuple[int, str, str], str] = {}
        self._claims: dict[int, list[tuple[Claim, str]]] = {}
        self._patterns: dict[int, int] = {}  # by id of a claim: as it was when its lamp changed last
        self._requested: dict[int, str] = {}  # by coil: who asked last

    def claimed(self, claim: Claim, who: str) -> None:
        """A feature has this claim."""
        self._claims.setdefault(claim.lamp, []).append((claim, who))

    def owners(self, lamp: int) -> list[str]:
        """The features with claims on a lamp: those that want it lit first, shows that do not last."""
        ranked = []
        for claim, who in self._claims.get(lamp, ()):
            is_off = claim.pattern in (NONE, DARK)
            ranked.append((is_off, is_off and claim.priority in (LOW, SHOW), -claim.priority, who))
        return [who for *_, who in sorted(ranked)]

    def usual_owners(self, lamp: int) -> list[str]:
        """The features with claims on a lamp, whatever is lit: the lower claim first, shows last."""
        claims = self._claims.get(lamp, ())
        ranked = [(claim.priority in (LOW, SHOW), claim.priority, who) for claim, who in claims]
        return [who for *_, who in sorted(ranked)]

    def requested(self, coil: int, who: str) -> None:
        """A feature asked for this coil."""
        self._requested[coil] = who

    def record(self, ms: int, kind: int, ident: int, name: str) -> None:
        """A record of a lamp or a coil was made."""
        who = self._lamp(ident) if kind == LAMP else self._requested.pop(ident, "")
        if who:
            self.asked[ms, KIND_WORDS[kind], name] = who

    def of(self, view: View, at: int) -> Cause:
        """What made the event at this place of the view's history."""
        event = view.history[at]
        what = f"{EVENT_WORDS.get(event.kind, event.kind)} {event.name}"
        if event.kind == "edge":
            return Cause(-1, f"contact {event.name}: a ball or a hand")
        feature = self._feature(event)
        if not feature:
            return Cause(-1, f"{what}: no rule asked for it; a contact or the cabinet did")
        row = _row(view, at, feature)
        if row < 0:
            return Cause(-1, f"{what}: asked for by {feature}, without a row of its chart")
        made = view.names.rows[row]
        return Cause(row, f"{what}: by {feature}, in state {made.source}, at {made.event}{made.rest}")

    def _feature(self, event: TraceEvent) -> str:
        if event.kind in ("award", "base"):
            return event.name.partition(".")[0]
        if event.kind == "move":
            return event.name
        return self.asked.get((event.ms, event.kind, event.name), "")

    def _lamp(self, lamp: int) -> str:
        """The feature whose claim on a lamp changed since the lamp did; the last of several."""
        found = ""
        for claim, who in self._claims.get(lamp, ()):
            if self._patterns.get(id(claim), 0) != claim.pattern:
                found = who
            self._patterns[id(claim)] = claim.pattern
        return found


class CauseConsole(Console):
    """A console whose `causes` say which feature asked for what; its trace is any console's."""

    causes: Causes

    def _build(self, game: GameModule, packed: PackedCharts | None) -> None:
        self.causes = Causes()
        _watch_claims(self.play.lamps, self.causes)
        _watch_coils(self.play.coils, self.causes)
        super()._build(game, packed)
        _watch_trace(self, self.causes)


def _watch_claims(lamps: Claims, causes: Causes) -> None:
    """Note whose each claim is."""
    claim_of = lamps.claim

    def claim(name: str, priority: int = 1, who: str = "") -> Claim:
        made = claim_of(name, priority, who)
        causes.claimed(made, who)
        return made

    vars(lamps)["claim"] = claim


def _watch_coils(coils: CoilQueue, causes: Causes) -> None:
    """Note whose each request is."""
    handle_of = coils.coil

    def handle(name: str, who: str = "") -> CoilHandle:
        made = handle_of(name, who)
        return CoilHandle(_Asking(coils, who, causes), made.coil, made.ms)

    vars(coils)["coil"] = handle


class _Asking(CoilQueue):
    """The queue of requests as one feature sees it."""

    def __init__(self, queue: CoilQueue, who: str, causes: Causes) -> None:
        self._queue = queue
        self._who = who
        self._causes = causes

    def put(self, coil: int, ms: int) -> None:
        self._causes.requested(coil, self._who)
        self._queue.put(coil, ms)


def _watch_trace(console: Console, causes: Causes) -> None:
    """Note lamps and coils as they are recorded."""
    trace: Trace = console.trace
    add_to = trace.add
    names = {LAMP: console.lamp_names, COIL: console.coil_names, REFUSED: console.coil_names}

    def add(kind: int, ident: int, value: int) -> None:
        add_to(kind, ident, value)
        if kind in names:
            causes.record(trace.now, kind, ident, names[kind][ident])

    vars(trace)["add"] = add


def _row(view: View, at: int, feature: str) -> int:
    """The row of a feature nearest to an event, in its millisecond: −1 when it took none.

    An award is recorded before the row that paid it, a lamp or coil after the row that asked for it.
    """
    history = view.history
    ms = history[at].ms
    ahead = _moves(history, range(at, len(history)), ms, feature)
    before = _moves(history, range(at, -1, -1), ms, feature)
    is_paid = history[at].kind in ("award", "base", "move")
    places = ahead + before if is_paid else before + ahead
    if not places:
        return -1
    number = sum(event.kind == "move" for event in history[: places[0]])
    return view.moves[number][0]


def _moves(history: list[TraceEvent], places: range, ms: int, feature: str) -> list[int]:
    """The places of this feature's moves in this millisecond, in the order of `places`."""
    found = []
    for place in places:
        if history[place].ms != ms:
            break
        if history[place].kind == "move" and history[place].name == feature:
            found.append(place)
    return found
