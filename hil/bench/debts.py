"""Standing checks on what a game owes its players: it was given, and once.

They read the cabinet's events of games that have them (replay.reached, special.win, extra_ball.awarded,
bonus.counted), and the places that best scores are saved in.
"""

import re
from collections import Counter
from itertools import groupby

from hil.bench.evidence import Evidence, Finding
from hil.bench.view import TraceEvent

REPLAY, SPECIAL, EXTRA_BALL, BONUS = "replay.reached", "special.win", "extra_ball.awarded", "bonus.counted"
REPLAY_SETTING = re.compile(r"replay_\d")
POINTS, CREDIT = 0, 1  # of the setting `special`; 2 is an extra ball
TILTED = 99  # of a ball that ends next: it has no bonus
PLACE = "high_scores.score_"


def replays_given(evidence: Evidence) -> list[Finding]:
    """An ended game gave each player every replay whose score was reached, once."""
    view = evidence.view
    if view.playing or not view.players or REPLAY not in view.names.events:
        return []
    given = _replays(evidence)
    return [
        Finding(f"{due} replays for player {player}", f"{given.get(player, 0)} given", evidence.now_ms)
        for player in range(1, view.players + 1)
        if (due := _replays_due(evidence, view.scores.get(player, 0))) != given.get(player, 0)
    ]


def _replays(evidence: Evidence) -> dict[int, int]:
    """How many replays each player got in the last game."""
    given: dict[int, int] = {}
    player = 0
    for event in evidence.view.history:
        if event.name == "game.started":
            given = {}
        elif event.name == "ball.started":
            player = event.value // 16
        elif event.kind == "event" and event.name == REPLAY:
            given[player] = given.get(player, 0) + 1
    return given


def _replays_due(evidence: Evidence, score: int) -> int:
    scores = [score_of for name, score_of in evidence.settings.items() if REPLAY_SETTING.fullmatch(name)]
    return sum(0 < least <= score for least in scores)


def bonus_counted(evidence: Evidence) -> list[Finding]:
    """Every ball that ended without a tilt or slam had its bonus counted, once, before the next one."""
    if BONUS not in evidence.view.names.events:
        return []
    due, found = 0, []
    for event in evidence.view.history:
        if event.kind != "event":
            continue
        if event.name in ("tilted", "game.slammed", "game.started"):
            due = TILTED if event.name == "tilted" else 0
        elif event.name == "ball.ended":
            due = due if due == TILTED else 1
        elif event.name == BONUS:
            due -= due != TILTED
        elif event.name in ("ball.started", "game.over"):
            if due not in (0, TILTED):
                found.append(Finding("the bonus counted once a ball", f"{1 - due} times", event.ms))
            due = 0
    return found


def specials_given(evidence: Evidence) -> list[Finding]:
    """Every special gave what the setting `special` says, in the same millisecond, once.

    A game may win one by another event than `special.win`: those are not judged.
    """
    meaning = evidence.settings.get("special")
    if meaning is None or SPECIAL not in evidence.view.names.events:
        return []
    found = []
    for ms, events in groupby(evidence.view.history, key=lambda event: event.ms):
        shown = Counter((event.kind, event.name) for event in events)
        due = shown["event", SPECIAL]
        given = _specials_in(shown, meaning)
        if given < due or (meaning == POINTS and given > due > 0):
            found.append(Finding(f"{due} specials given", f"{given} given", ms))
    return found


def _specials_in(shown: Counter[tuple[str, str]], meaning: int) -> int:
    if meaning == POINTS:
        return shown["award", "special.points"]
    if meaning == CREDIT:
        return shown["cue", "credit"]
    instead = sum(count for (kind, name), count in shown.items() if name.endswith(".instead"))
    return shown["event", EXTRA_BALL] + instead


def extra_balls_played(evidence: Evidence) -> list[Finding]:
    """Every extra ball that was won is its player's next ball; no other ball is played again."""
    if EXTRA_BALL not in evidence.view.names.events:
        return []
    book = _ExtraBalls()
    for event in evidence.view.history:
        if event.kind == "event":
            book.take(event)
    return book.findings


class _ExtraBalls:
    """Follows whose turn it is, and how many extra balls the player has won and not played."""

    def __init__(self) -> None:
        self.findings: list[Finding] = []
        self._owed = 0
        self._turn = 0

    def take(self, event: TraceEvent) -> None:
        """An event of the cabinet."""
        if event.name in ("game.started", "game.slammed"):
            self._owed = self._turn = 0
        elif event.name == EXTRA_BALL:
            self._owed += 1
        elif event.name == "ball.started":
            self._start(event)
        elif event.name == "game.over":
            self._settle(event)

    def _start(self, event: TraceEvent) -> None:
        if event.value != self._turn:
            self._settle(event)
            self._turn = event.value
        elif self._owed:
            self._owed -= 1
        else:
            self._differ(event, "another turn", "the same ball again")

    def _settle(self, event: TraceEvent) -> None:
        if self._owed:
            self._differ(event, f"{self._owed} extra balls played", "not played")
        self._owed = 0

    def _differ(self, event: TraceEvent, expected: str, seen: str) -> None:
        self.findings.append(Finding(expected, seen, event.ms))


def best_scores_saved(evidence: Evidence) -> list[Finding]:
    """A score of the ended game that beats the last place of the saved best scores is one of them."""
    view = evidence.view
    saved = {event.name: event.value for event in view.history if _is_place(event)}
    last = saved.get(max((name for name in view.names.values if name.startswith(PLACE)), default=""))
    if last is None or not _names_were_entered(view.history):
        return []
    return [
        Finding(f"player {player}'s {score:,} among the best scores", "not saved", evidence.now_ms)
        for player, score in view.scores.items()
        if score > last and score not in saved.values()
    ]


def _is_place(event: TraceEvent) -> bool:
    return event.kind == "save" and event.name.startswith(PLACE)


def _names_were_entered(history: list[TraceEvent]) -> bool:
    """Whether the last game came to its end and the machine is back in attract."""
    watched = ("game.started", "game.slammed", "game.rested")
    last = [event.name for event in history if event.kind == "event" and event.name in watched][-2:]
    return last == ["game.started", "game.rested"]
