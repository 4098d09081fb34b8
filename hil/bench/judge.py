"""The standing checks, which every run must pass whatever its script expects.

Coil limits are computed from the COIL records and the wiring table alone, so that a fault of the
firmware's own limiter is seen.
"""

import re
from collections.abc import Callable

from hil.bench import debts
from hil.bench.evidence import Evidence, Finding
from hil.bench.view import View, seconds
from hil.game_tables import coil_rows

DIGITS = 8  # of a score on two lines of text
CALM_MS = 400  # 2.5 flashes a second
QUICK_MS = 250  # 4, with calm lamps off
IDLE_MS = 20_000  # longer than a bonus count, a tilt's quiet time and every retry of a serve
_SCORE_PAGE = re.compile(r"PLAYER \d +BALL \d| *GAME OVER *")


def standing_checks(evidence: Evidence) -> list[Finding]:
    """Run CHECKS in order; every failed one."""
    return [finding for check in CHECKS for finding in check(evidence)]


class CoilWatch:
    """Checks the on-times and rests of one coil against its limits; times are ms since the start."""

    def __init__(self, name: str, longest: int, rest: int) -> None:
        self.findings: list[Finding] = []
        self._name = name
        self._longest = longest
        self._rest = rest
        self._from = 0
        self._until: int | None = None  # None: held on
        self._used = False

    def record(self, value: int, ms: int) -> None:
        """Process a COIL record: pulse in ms, −1 held on, 0 off."""
        if value == 0:
            self._off(ms)
            return
        if self._used:
            self._check_rest(ms)
        self._used = True
        self._from = ms
        self._until = None if value < 0 else ms + value
        if 0 < self._longest < value:
            self._too_long(value)

    def end(self, now_ms: int) -> None:
        """The run ended: a coil that is still held was on until now."""
        if self._used and self._until is None:
            self._held_until(now_ms)

    def _off(self, ms: int) -> None:
        if not self._used:
            return
        if self._until is None:
            self._held_until(ms)
            self._until = ms
        else:
            self._until = min(self._until, ms)

    def _held_until(self, ms: int) -> None:
        if 0 < self._longest < ms - self._from:
            self._too_long(ms - self._from)

    def _too_long(self, on_ms: int) -> None:
        self.findings.append(
            Finding(f"coil {self._name} on for at most {self._longest} ms", f"on for {on_ms} ms", self._from)
        )

    def _check_rest(self, ms: int) -> None:
        if self._until is None or ms < self._until:
            seen = f"switched on again while on since {seconds(self._from)}"
        elif ms - self._until < self._rest:
            seen = f"switched on after {ms - self._until} ms off"
        else:
            return
        self.findings.append(Finding(f"coil {self._name} rests at least {self._rest} ms", seen, ms))


def coil_limits(evidence: Evidence) -> list[Finding]:
    """No coil is on longer than its longest on-time, or on again within its rest."""
    rows = {row.name: CoilWatch(row.name, row.longest_ms, row.rest_ms) for row in coil_rows(evidence.wiring)}
    for event in evidence.view.history:
        if event.kind == "coil":
            rows[event.name].record(event.value, event.ms)
    for watch in rows.values():
        watch.end(evidence.now_ms)
    return [finding for watch in rows.values() for finding in watch.findings]


def flashes(evidence: Evidence) -> list[Finding]:
    """No flasher flashes more often than lamps may blink while a game is played."""
    least = CALM_MS if evidence.settings.get("calm_lamps", 1) else QUICK_MS
    flashers = {row.name for row in coil_rows(evidence.wiring) if row.kind == "flasher"}
    last: dict[str, int] = {}
    found = []
    playing = False
    for event in evidence.view.history:
        if event.kind == "event" and event.name in ("game.started", "game.over"):
            playing = event.name == "game.started"
        elif event.kind == "coil" and event.name in flashers and event.value:
            gap = event.ms - last.get(event.name, -least)
            last[event.name] = event.ms
            if playing and gap < least:
                expected = f"flasher {event.name} at least {least} ms after its last flash"
                found.append(Finding(expected, f"after {gap} ms", event.ms))
    return found


def balls_accounted_for(evidence: Evidence) -> list[Finding]:
    """Every ball is in one place of the plant, and their number is the machine's."""
    plant = evidence.plant
    if plant is None:
        return []
    found = []
    places = {place: count for place, count in plant.places().items() if count}
    there = ", ".join(f"{place} {count}" for place, count in places.items())
    if plant.lost:
        found.append(Finding("no ball lost", f"{plant.lost} lost; {there}", evidence.now_ms))
    if sum(places.values()) != evidence.wiring.BALLS:
        found.append(Finding(f"{evidence.wiring.BALLS} balls in the machine", there, evidence.now_ms))
    return found


class ScoreWatch:
    """Compares every displayed score page with the awards; call `check_display` after each millisecond."""

    def __init__(self, view: View) -> None:
        self.findings: list[Finding] = []
        self._view = view
        self._seen = (-1, -1)

    def check_display(self) -> None:
        """Compare the display as it is now."""
        view = self._view
        state = (max(view.lines_since), sum(view.scores.values()))
        if state == self._seen:
            return
        self._seen = state
        lines = ["".join(chr(cell & 127) for cell in cells) for cells in view.cells]
        shown = _wrong_numbers(view, lines) if _has_score_displays(view) else _wrong_pair(view, lines)
        if shown is not None:
            ledger = ", ".join(f"{view.scores.get(p, 0):,}" for p in range(1, view.players + 1))
            seen = " and ".join(number for number in shown if number) or "nothing"
            self.findings.append(Finding(f"the display shows the ledger's {ledger}", seen, view.now_ms))


def _has_score_displays(view: View) -> bool:
    return any(display.shows == "score" for display in view.names.displays)


def _wrong_numbers(view: View, lines: list[str]) -> list[str] | None:
    """What displays of one score each show, when it is numbers and not the ledger's."""
    sizes = [display.cells for display in view.names.displays if display.shows == "score"]
    displays = zip(lines, view.names.displays, strict=True)
    shown = [line.strip() for line, display in displays if display.shows == "score"]
    if not view.playing or any(text and not text.isdigit() for text in shown):
        return None
    wanted = [
        _last_digits(view.scores.get(player, 0), size) if player <= max(view.players, 1) else ""
        for player, size in enumerate(sizes, 1)
    ]
    return None if shown == wanted else shown


def _last_digits(score: int, size: int) -> str:
    return str(score) if score < 10**size else str(score)[-size:]


def _wrong_pair(view: View, lines: list[str]) -> list[str] | None:
    """What a score page of two lines shows, when it is no pair of the ledger's."""
    if not _SCORE_PAGE.fullmatch(lines[1]):
        return None
    shown = [lines[0][:8].strip(), lines[0][8:].strip()]
    pairs = [_pair(view, first) for first in range(1, max(view.players, 1) + 1, 2)]
    return None if shown in pairs else shown


def _pair(view: View, first: int) -> list[str]:
    players = (first, first + 1)
    return [_last_digits(view.scores.get(p, 0), DIGITS) if p <= view.players else "" for p in players]


def scores_shown(evidence: Evidence) -> list[Finding]:
    """Every displayed score is the sum of its player's awards; reports the first that is not."""
    return evidence.scores.findings[:1] if evidence.scores is not None else []


def balls_owed(evidence: Evidence) -> list[Finding]:
    """An ended game gave every player every ball; a running one does not idle with every ball at home."""
    view = evidence.view
    if view.players and not view.playing:
        return _balls_missed(evidence)
    plant = evidence.plant
    if (
        not view.playing
        or plant is None
        or plant.moving()
        or plant.places()[plant.home] != evidence.wiring.BALLS
    ):
        return []
    still = evidence.now_ms - max((h.ms for h in view.history if h.kind in ("edge", "coil")), default=0)
    if still < IDLE_MS:
        return []
    return [Finding("a ball for the player", f"every ball at home for {seconds(still)}", evidence.now_ms)]


def _balls_missed(evidence: Evidence) -> list[Finding]:
    started: dict[int, set[int]] = {}
    for event in evidence.view.history:
        if event.kind != "event":
            continue
        if event.name == "game.started":
            started = {}
        elif event.name == "ball.started":
            started.setdefault(event.value // 16, set()).add(event.value % 16)
        elif event.name == "slam":
            return []
    return [
        Finding(
            f"{evidence.balls_a_game} balls for player {player}",
            f"{len(started.get(player, ()))} by the end of the game",
            evidence.now_ms,
        )
        for player in range(1, evidence.view.players + 1)
        if len(started.get(player, ())) < evidence.balls_a_game
    ]


CHECKS: tuple[Callable[[Evidence], list[Finding]], ...] = (
    coil_limits,
    flashes,
    balls_accounted_for,
    scores_shown,
    balls_owed,
    debts.bonus_counted,
    debts.replays_given,
    debts.specials_given,
    debts.extra_balls_played,
    debts.best_scores_saved,
)
