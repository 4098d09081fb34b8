"""The story of a failure: the script so far, the state at the failing line, and how it came there.

Made from the view of a run, which every target has; windows and values are read from the target itself,
guards are known where they were recorded.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from firmware.base.errors import LinkError
from hil.bench.names import Row
from hil.bench.story_events import Happening, award_words, display_lines, happenings, move_words, timed
from hil.bench.targets.target import InspectedTarget, MachineStopped, Target
from hil.bench.view import OFF, TraceEvent, View, pattern_words, seconds

UNKNOWN = "not known on this target"


class StepBegun(NamedTuple):
    """A line of the script, and when (ms) it began."""

    ms: int
    line: int
    text: str


class Asked(NamedTuple):
    """A guard's answer: when (ms), the number of its row, what it returned."""

    ms: int
    row: int
    answer: bool


class Facts(NamedTuple):
    """What a target says of itself: ms left of each window and each value, by name; None: it cannot."""

    windows: dict[str, int] | None = None
    values: dict[str, int] | None = None


@dataclass
class Story:
    """What a report tells of a run that failed; sentences are whole, in order of time."""

    at_ms: int
    steps: Sequence[StepBegun]
    """The lines that were begun."""
    failing_line: int
    """0: it failed in no line of its own, by a standing check."""
    happened: list[Happening]
    """Everything since the last action line began."""
    game: str
    balls: dict[str, int]
    """Of simulated balls: how many are where."""
    displays: list[str]
    shown: list[str]
    """What displays showed since the mark, as whole lines."""
    lamps: dict[str, str]
    coils: list[str]
    windows: dict[str, int] | None
    values: dict[str, int] | None
    states: dict[str, str]
    since: str
    """What the awards and transitions are counted from."""
    awards: list[str]
    features: Sequence[str]
    """What the script covers, and what its failing line names."""
    transitions: list[str]
    unheard: list[str]
    """Events that came while their feature was in another state than the one that hears them."""
    near_misses: list[str] | None
    """Events that came while a guard said no; None: guards were not recorded."""
    all_states: dict[str, str] = field(default_factory=dict)
    all_values: dict[str, int] | None = None


@dataclass(frozen=True)
class Told:
    """What a story is made from, beside the view. `action_at` and `marked_at` are
    positions in its history."""

    steps: Sequence[StepBegun]
    covers: Sequence[str]
    action_at: int
    marked_at: int
    marked_line: int
    facts: Facts
    balls: dict[str, int]
    at_ms: int
    failing_line: int = 0
    asked: Sequence[Asked] | None = None


def read_facts(target: Target, view: View) -> Facts:
    """Windows and values of a target; None each when it cannot say them now."""
    if not isinstance(target, InspectedTarget):
        return Facts()
    try:
        windows = dict(zip(view.names.windows, target.windows(), strict=True))
        return Facts(windows, dict(zip(view.names.values, target.values(), strict=True)))
    except (LinkError, MachineStopped):
        return Facts()


def tell(view: View, told: Told) -> Story:
    """Make the story of a run from its view."""
    features = looked_at(view, told)
    mark_ms = _begin_ms(view, told.marked_at, told.at_ms)
    return Story(
        at_ms=told.at_ms,
        steps=told.steps,
        failing_line=told.failing_line,
        happened=happenings(view, told.action_at),
        game=_game(view),
        balls=told.balls,
        displays=list(view.lines),
        shown=[timed(line) for line in display_lines(view) if line.ms >= mark_ms],
        lamps={name: pattern_words(lamp) for name, lamp in view.lamps.items() if lamp != OFF},
        coils=[name for name, coil in view.coils.items() if coil.value < 0],
        windows=told.facts.windows,
        values=_own(told.facts.values, features),
        states={region: _state(view, region) for region in features},
        since=f"the mark in line {told.marked_line}" if told.marked_line else "the start",
        awards=_awards(view, told.marked_at),
        features=features,
        transitions=_transitions(view, told.marked_at, features),
        unheard=_unheard(view, told.action_at, features),
        near_misses=None if told.asked is None else near_misses(view, told, features),
        all_states={region: _state(view, region) for region in view.states},
        all_values=told.facts.values,
    )


def looked_at(view: View, told: Told) -> list[str]:
    """The features that the script covers, then those that its failing line names."""
    regions = view.names.regions
    words = told.steps[-1].text.replace(",", " ").split() if told.steps else []
    named = [word if word in regions else word.partition(".")[0] for word in words]
    return [name for name in dict.fromkeys((*told.covers, *named)) if name in regions]


def near_misses(view: View, told: Told, features: Sequence[str]) -> list[str]:
    """What guards refused since the last mark in `features`, and since the last action in any feature."""
    history = view.history
    mark_ms = _begin_ms(view, told.marked_at, told.at_ms)
    action_ms = _begin_ms(view, told.action_at, told.at_ms)
    refused: dict[int, list[int]] = {}
    for asked in told.asked or ():
        from_ms = mark_ms if view.names.rows[asked.row].region in features else action_ms
        if not asked.answer and asked.ms >= from_ms:
            refused.setdefault(asked.row, []).append(asked.ms)
    moves = {(event.name, event.ms) for event in history if event.kind == "move"}
    found = [
        (view.names.rows[row].region not in features, (view.names.rows[row].region, times[-1]) in moves, row)
        for row, times in refused.items()
    ]
    return [_refusal(view.names.rows[row], refused[row], answered) for _, answered, row in sorted(found)]


def _begin_ms(view: View, position: int, at_ms: int) -> int:
    """When the history from a position on begins; `at_ms`: nothing happened from there on."""
    return view.history[position].ms if position < len(view.history) else at_ms


def _refusal(row: Row, times: list[int], answered: bool) -> str:
    often = f" ({len(times)} times, first at {seconds(times[0])})" if len(times) > 1 else ""
    other = "; another row answered" if answered else ""
    return (
        f"{seconds(times[-1])}  {row.region} in {row.source}: {row.event} came, "
        f"guard '{row.guard}' said no{often}{other}"
    )


def _game(view: View) -> str:
    if not view.players:
        return "no game was started"
    scores = ", ".join(f"{view.scores.get(n, 0):,}" for n in range(1, view.players + 1))
    running = "game running" if view.playing else "game over"
    return f"{running}, player {view.player} of {view.players}, ball {view.ball}, score {scores}"


def _state(view: View, region: str) -> str:
    return f"{view.states[region]} since {seconds(view.states_since[region])}"


def _own(values: dict[str, int] | None, features: Sequence[str]) -> dict[str, int] | None:
    if values is None:
        return None
    return {name: value for name, value in values.items() if name.partition(".")[0] in features}


def _awards(view: View, marked_at: int) -> list[str]:
    """What was paid, to whom where several play, and with its factor."""
    found = []
    player = base = 0
    for at, event in enumerate(view.history):
        if event.kind == "event" and event.name == "ball.started":
            player = event.value // 16
        elif event.kind == "base":
            base = event.value
        elif event.kind == "award":
            if at >= marked_at:
                whose = f" to player {player}" if view.players > 1 else ""
                found.append(f"{seconds(event.ms)}  {award_words(event, base)}{whose}")
            base = 0
    return found


def _transitions(view: View, marked_at: int, features: Sequence[str]) -> list[str]:
    found = []
    row = 0
    for at, event in enumerate(view.history):
        if event.kind == "move":
            if at >= marked_at and event.name in features:
                found.append(f"{seconds(event.ms)}  {move_words(view.names, view.moves[row][0], event)}")
            row += 1
    return found


def _unheard(view: View, action_at: int, features: Sequence[str]) -> list[str]:
    """Events since the last action that a feature hears in another state than it is in."""
    happened = [e for e in view.history[action_at:] if e.kind == "event" or (e.kind == "edge" and e.value)]
    latest = {event.name: event for event in happened}
    found = []
    for region in features:
        for event in latest.values():
            words = _deaf(view, region, event)
            if words:
                found.append((event.ms, f"{seconds(event.ms)}  {words}"))
    return [words for _, words in sorted(found)]


def _deaf(view: View, region: str, event: TraceEvent) -> str:
    """Why the region did not hear the event; "" when it does, never does, or changed its state since."""
    state = view.states[region]
    hearing = [row.source for row in view.names.rows if row.region == region and _hears(row, event.name)]
    if not hearing or view.states_since[region] >= event.ms:
        return ""
    if state in hearing or not all(source in view.names.leaves[region] for source in hearing):
        return ""
    heard = " or ".join(dict.fromkeys(hearing))
    since = seconds(view.states_since[region])
    return f"{event.name} came; {region} hears it in {heard}, it was in {state} since {since}"


def _hears(row: Row, event: str) -> bool:
    words: Iterable[str] = row.event.split()
    return any(event == word or event.startswith(word + ".") for word in words)
