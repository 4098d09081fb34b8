"""Parses the `expect` lines of a switch script: subject, verb, value, and when it must hold."""

from collections.abc import Callable
from dataclasses import dataclass

from hil.bench.scripts import conditions
from hil.bench.scripts.conditions import (
    Amount,
    Closed,
    Condition,
    Happened,
    Held,
    Lamp,
    Not,
    Playing,
    Shows,
    State,
    Window,
    WindowLeft,
)
from hil.bench.scripts.line import Line
from hil.bench.scripts.steps import AT_END, NOW, STAYS, WITHIN, Expect, Step
from hil.bench.scripts.vocabulary import Vocabulary

MOST_POINTS = 2**30 - 1
MOST_TIMES = 10_000
LONGEST_WINDOW_MS = 2**29
LEEWAY_MS = 100  # of a window's time left, unless the line says another


@dataclass(frozen=True)
class _Subject:
    """A parsed subject: its condition, and the words around it."""

    condition: Condition
    stays: bool = False
    negated: bool = False
    event: bool = False
    counted: bool = False


def read_expectation(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    """Parse the rest of an `expect` line. Raises ScriptError."""
    subject = line.choice("subject", tuple(SUBJECTS))
    read = SUBJECTS[subject](line, vocabulary)
    when, for_ms = _when(line, read)
    condition = Not(read.condition) if read.negated else read.condition
    return Expect(number, line.text, condition, when, for_ms)


def _when(line: Line, read: _Subject) -> tuple[int, int]:
    if line.accept("within"):
        if read.stays:
            line.refuse("'stays' goes with 'for' a time, not with 'within'")
        for_ms = line.time()
        if read.event:
            return (STAYS if read.negated else AT_END if read.counted else WITHIN), for_ms
        if read.negated:
            line.refuse("'is not … within' could mean two things; write 'stays not … for' or what it becomes")
        return WITHIN, for_ms
    if line.accept("for"):
        if not read.stays:
            line.refuse("'for' a time goes with 'stays'; 'within' lets time run until it comes true")
        return STAYS, line.time()
    if read.stays:
        line.refuse("'stays' needs 'for' and a time, such as for 3 s")
    return NOW, 0


def _verb(line: Line, *more: str) -> tuple[bool, bool]:
    """Parse `is` or `stays`: whether it is `stays`, and whether `not` follows."""
    verb = line.choice("verb", ("is", "stays", *more))
    return verb == "stays", line.accept("not")


def _lamp(line: Line, vocabulary: Vocabulary) -> _Subject:
    name = line.name("lamp", vocabulary.names.lamps)
    stays, negated = _verb(line)
    word = line.choice("lamp pattern", ("on", "off", "lit", "blinking"))
    if word == "blinking" and line.peek() not in ("", "within", "for"):
        word += " " + line.choice("blink", ("slow", "fast", "rapid"))
    return _Subject(Lamp(name, conditions.LAMP_WORDS[word]), stays, negated)


def _coil(line: Line, vocabulary: Vocabulary) -> _Subject:
    name = line.name("coil", vocabulary.names.coils)
    if line.peek() in ("is", "stays"):
        stays, negated = _verb(line)
        line.choice("coil state", ("held",))
        return _Subject(Held(name), stays, negated)
    negated = line.accept("not")
    done = line.choice(
        "coil word", ("fired", "refused") if negated else ("fired", "refused", "not", "is", "stays")
    )
    return _happened(line, "coil" if done == "fired" else "refused", name, done, negated)


def _cue(line: Line, vocabulary: Vocabulary) -> _Subject:
    name = line.name("cue", vocabulary.names.cues)
    negated = line.accept("not")
    line.choice("cue word", ("played",) if negated else ("played", "not"))
    return _happened(line, "cue", name, "played", negated)


def _event(line: Line, vocabulary: Vocabulary) -> _Subject:
    name = line.name("event", vocabulary.names.events)
    negated = line.accept("not")
    line.choice("event word", ("posted",) if negated else ("posted", "not"))
    return _happened(line, "event", name, "posted", negated)


def _award(line: Line, vocabulary: Vocabulary) -> _Subject:
    name = line.name("award", vocabulary.names.awards)
    negated = line.accept("not")
    line.choice("award word", ("paid",) if negated else ("paid", "not"))
    points = None
    if line.is_number() and line.peek(1) not in ("times", "time"):
        points = line.number("points", 1, MOST_POINTS)
    return _happened(line, "award", name, "paid", negated, points)


def _happened(
    line: Line, kind: str, name: str, done: str, negated: bool, value: int | None = None
) -> _Subject:
    times = 0
    if line.is_number():
        times = line.number("the number of times", 1, MOST_TIMES)
        line.choice("word", ("times", "time"))
        if negated:
            line.refuse("'not' with a number of times could mean two things; give the number that is right")
    return _Subject(Happened(kind, name, done, times, value), negated=negated, event=True, counted=times > 0)


def _line(line: Line, vocabulary: Vocabulary) -> _Subject:
    return _shows(line, line.number("the display line", 1, len(vocabulary.names.displays)) - 1)


def _display(line: Line, vocabulary: Vocabulary) -> _Subject:
    for at, display in enumerate(vocabulary.names.displays):
        if line.accept(display.name):
            return _shows(line, at)
    return _shows(line, -1)


def _shows(line: Line, at: int) -> _Subject:
    if line.accept("contains"):
        return _Subject(Shows(at, line.quoted(), True))
    stays, negated = _verb(line, "contains")
    anywhere = line.accept("containing")
    return _Subject(Shows(at, line.quoted(), anywhere), stays, negated)


def _score(line: Line, vocabulary: Vocabulary) -> _Subject:
    player = _whose(line)
    return _amount(line, _named("score", player), conditions.score_of(player), MOST_POINTS)


def _gain(line: Line, vocabulary: Vocabulary) -> _Subject:
    player = _whose(line)
    return _amount(line, _named("gain", player), conditions.gain_of(player), MOST_POINTS)


def _whose(line: Line) -> int:
    if not line.accept("of"):
        return 0
    line.require("player")
    return line.number("the player", 1, 4)


def _named(what: str, player: int) -> str:
    return f"{what} of player {player}" if player else what


def _amount(
    line: Line, what: str, look: Callable[[conditions.Scene], int], most: int, least: int = 0
) -> _Subject:
    stays, negated = _verb(line)
    how = ""
    if line.accept("at"):
        how = "at " + line.choice("comparison", ("least", "most"))
    return _Subject(Amount(what, look, how, line.number(what, least, most)), stays, negated)


def _ball(line: Line, vocabulary: Vocabulary) -> _Subject:
    return _amount(line, "ball", lambda scene: scene.view.ball, 100)


def _player(line: Line, vocabulary: Vocabulary) -> _Subject:
    return _amount(line, "player", lambda scene: scene.view.player, 4)


def _players(line: Line, vocabulary: Vocabulary) -> _Subject:
    return _amount(line, "players", lambda scene: scene.view.players, 4)


def _balls(line: Line, vocabulary: Vocabulary) -> _Subject:
    line.require("in")
    place = line.name("place", vocabulary.places)
    return _amount(line, f"balls in {place}", conditions.balls_in(place), 20)


def _state(line: Line, vocabulary: Vocabulary) -> _Subject:
    line.require("of")
    regions = vocabulary.names.regions
    region = line.name("region", tuple(regions))
    stays, negated = _verb(line)
    state = line.word("a state")
    if state not in regions[region]:
        line.refuse(f"{region} has no state '{state}'; it has {', '.join(regions[region])}")
    return _Subject(State(region, state), stays, negated)


def _switch(line: Line, vocabulary: Vocabulary) -> _Subject:
    name = line.name("switch", vocabulary.names.switches)
    stays, negated = _verb(line)
    return _Subject(Closed(name, line.choice("switch state", ("closed", "open")) == "closed"), stays, negated)


def _window(line: Line, vocabulary: Vocabulary) -> _Subject:
    name = line.name("window", vocabulary.names.windows)
    verb = line.choice("verb", ("is", "stays", "has", "stands", "runs"))
    if verb == "has":
        return _Subject(_window_left(line, name))
    if verb == "runs":
        return _Subject(Window(name, conditions.RUNS))
    if verb == "stands":
        line.require("still")
        return _Subject(Window(name, conditions.STILL), stays=line.peek() == "for")
    negated = line.accept("not")
    state = line.choice("window state", (conditions.OPEN, conditions.CLOSED))
    return _Subject(Window(name, state), verb == "stays", negated)


def _window_left(line: Line, name: str) -> WindowLeft:
    """`8 s left`, with or without `± 50 ms`; `at least 8 s left`, `at most 8 s left`."""
    how = line.choice("comparison", ("least", "most")) if line.accept("at") else ""
    ms = line.time()
    line.require("left")
    if how:
        return WindowLeft(name, ms if how == "least" else 1, LONGEST_WINDOW_MS if how == "least" else ms)
    leeway = line.time() if line.accept("±") or line.accept("+-") else LEEWAY_MS
    return WindowLeft(name, max(1, ms - leeway), ms + leeway)


def _value(line: Line, vocabulary: Vocabulary) -> _Subject:
    name = line.name("value", vocabulary.names.values)
    return _amount(line, f"value {name}", conditions.value_of(name), MOST_POINTS, -MOST_POINTS)


def _game(line: Line, vocabulary: Vocabulary) -> _Subject:
    stays, negated = _verb(line)
    return _Subject(Playing(line.choice("word", ("running", "over")) == "running"), stays, negated)


SUBJECTS: dict[str, Callable[[Line, Vocabulary], _Subject]] = {
    "lamp": _lamp,
    "coil": _coil,
    "cue": _cue,
    "award": _award,
    "event": _event,
    "line": _line,
    "display": _display,
    "score": _score,
    "gain": _gain,
    "ball": _ball,
    "player": _player,
    "players": _players,
    "balls": _balls,
    "state": _state,
    "switch": _switch,
    "window": _window,
    "value": _value,
    "game": _game,
}
