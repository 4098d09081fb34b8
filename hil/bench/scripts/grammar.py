"""Parses the action lines of a switch script, one function a word. SCRIPTS.md describes the language."""

from collections.abc import Callable

from hil.bench.scripts.expectations import read_expectation
from hil.bench.scripts.line import Line
from hil.bench.scripts.steps import (
    EndBall,
    Hold,
    Launch,
    Mark,
    PowerOff,
    PowerOn,
    Press,
    Release,
    Shoot,
    Start,
    Step,
    Tap,
    Wait,
)
from hil.bench.scripts.vocabulary import Vocabulary

Reader = Callable[[Line, int, Vocabulary], Step]
EXTRA_MS = 20  # how much longer than its debounce a tap keeps a switch closed, and then open
MOST_TAPS = 1000


def read_step(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    """Parse an action or expectation line. Raises ScriptError."""
    word = line.choice("action", tuple(READERS))
    step = READERS[word](line, number, vocabulary)
    line.end()
    return step


def _press(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    return Press(number, line.text, line.names("switch", vocabulary.names.switches))


def _release(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    return Release(number, line.text, line.names("switch", vocabulary.names.switches))


def _tap(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    switches = line.names("switch", vocabulary.names.switches)
    times = 1
    if line.is_number():
        times = line.number("the number of taps", 1, MOST_TAPS)
        line.choice("word", ("times", "time"))
    rhythm = {name: _rhythm(vocabulary, name) for name in switches}
    if line.accept("every"):
        every = line.time()
        rhythm = {name: _squeezed(line, vocabulary, name, every) for name in switches}
    return Tap(number, line.text, switches, times, rhythm)


def _rhythm(vocabulary: Vocabulary, switch: str) -> tuple[int, int]:
    closing, opening = vocabulary.debounce.get(switch, (0, 0))
    return closing + EXTRA_MS, opening + EXTRA_MS


def _squeezed(line: Line, vocabulary: Vocabulary, switch: str, every: int) -> tuple[int, int]:
    closing, opening = vocabulary.debounce.get(switch, (0, 0))
    least = closing + opening + 2
    if every < least:
        line.refuse(f"{switch} cannot be told apart every {every} ms; {least} ms is the shortest")
    closed = min(closing + EXTRA_MS, every - opening - 1)
    return closed, every - closed


def _hold(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    switches = line.names("switch", vocabulary.names.switches)
    line.require("for")
    return Hold(number, line.text, switches, line.time())


def _wait(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    return Wait(number, line.text, line.time())


def _mark(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    return Mark(number, line.text)


def _shoot(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    shots = line.names("shot", tuple(vocabulary.shots))
    options: dict[str, int] = {}
    if line.accept("with"):
        name, value = _option(line, shots, vocabulary)
        options[name] = value
        while line.accept("and") or line.accept(","):
            name, value = _option(line, shots, vocabulary)
            if name in options:
                line.refuse(f"'{name}' is given twice")
            options[name] = value
    return Shoot(number, line.text, shots, options)


def _option(line: Line, shots: tuple[str, ...], vocabulary: Vocabulary) -> tuple[str, int]:
    """`12 turns`, `1 turn` or `lane 2`: the words of the shot's option in either order."""
    known = vocabulary.shots[shots[0]]
    for shot in shots:
        if vocabulary.shots[shot] != known:
            line.refuse(f"{shots[0]} and {shot} take different options; give each its own line")
    if not known:
        line.refuse(f"shot {shots[0]} takes no options")
    if line.is_number():
        value = line.number("an option", 0, 1000)
        if value == 1 and line.peek() + "s" in known:
            name = line.word("an option") + "s"
        else:
            name = line.choice("option", tuple(known))
    else:
        name = line.choice("option", tuple(known))
        value = line.number(name, 0, 1000)
    allowed = known[name]
    if not allowed.least <= value <= allowed.most:
        line.refuse(f"{name} must be {allowed.least} to {allowed.most}, not {value}")
    return name, value


def _start(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    players = line.number("the number of players", 1, 4)
    line.choice("word", ("player", "players"))
    return Start(number, line.text, players)


def _launch(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    return Launch(number, line.text)


def _end_ball(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    line.require("ball")
    return EndBall(number, line.text)


def _power(line: Line, number: int, vocabulary: Vocabulary) -> Step:
    if line.choice("way to switch the power", ("off", "on")) == "on":
        return PowerOn(number, line.text)
    return PowerOff(number, line.text, while_saving=line.accept("while", "saving"))


READERS: dict[str, Reader] = {
    "press": _press,
    "release": _release,
    "tap": _tap,
    "hold": _hold,
    "wait": _wait,
    "shoot": _shoot,
    "start": _start,
    "launch": _launch,
    "end": _end_ball,
    "mark": _mark,
    "power": _power,
    "expect": read_expectation,
}
