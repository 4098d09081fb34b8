"""Parses a switch script: header lines, then steps. SCRIPTS.md describes the language."""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from firmware.base.errors import ScriptError
from firmware.charts.suggest import did_you_mean
from hil.bench.scripts.grammar import READERS, read_step
from hil.bench.scripts.line import Line, without_comment
from hil.bench.scripts.steps import EndBall, Hold, Launch, Mark, PowerOff, PowerOn, Shoot, Start, Step, Wait
from hil.bench.scripts.vocabulary import Vocabulary

SUFFIX = ".play"
SIMULATED, MOVED, REAL = "simulated", "moved", "real"
DEFAULT_LIMIT_MS = 10 * 60_000
LONGEST_LIMIT_MS = 4 * 60 * 60_000
MOST_LINES = 50_000
MOST_BYTES = 1_000_000


class ScriptErrors(ScriptError):
    """Every wrong line of a script, one sentence a line; `text` and `where` are the first one's."""

    def __init__(self, errors: list[ScriptError]) -> None:
        super().__init__(errors[0].text, errors[0].where)
        self.errors = errors

    def __str__(self) -> str:
        return "\n".join(str(error) for error in self.errors)


@dataclass
class Script:
    """One script: its header and its steps."""

    path: Path
    title: str = ""
    covers: tuple[str, ...] = ()
    seed: int = 1
    settings: dict[str, int] = field(default_factory=dict)
    balls: str = SIMULATED
    limit_ms: int = DEFAULT_LIMIT_MS
    steps: list[Step] = field(default_factory=list)

    @property
    def switches_power(self) -> bool:
        """Whether it has power lines."""
        return any(isinstance(step, (PowerOff, PowerOn)) for step in self.steps)

    @property
    def name(self) -> str:
        """The name of its file."""
        return self.path.name


def read(path: Path, vocabulary: Vocabulary, shown: str = "") -> Script:
    """Read and parse a script file; `shown` is its name in messages. Raises ScriptError."""
    shown = shown or str(path)
    try:
        data = path.read_bytes()
    except OSError as error:
        raise ScriptError(f"the script cannot be read: {error.strerror or error}", shown) from None
    if len(data) > MOST_BYTES:
        raise ScriptError(f"a script has at most {MOST_BYTES:,} bytes, this one has {len(data):,}", shown)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise ScriptError("a script is UTF-8 text; this byte is not", f"{shown}:{line}") from None
    return parse(text, path, vocabulary, shown)


def parse(text: str, path: Path, vocabulary: Vocabulary, shown: str = "") -> Script:
    """Parse the text of a script. Raises ScriptErrors: every wrong line, with file and line."""
    shown = shown or str(path)
    lines = text.split("\n")
    if len(lines) > MOST_LINES:
        raise ScriptError(f"a script has at most {MOST_LINES:,} lines, this one has {len(lines):,}", shown)
    script = Script(path)
    given: set[str] = set()
    errors: list[ScriptError] = []
    for number, raw in enumerate(lines, 1):
        content = without_comment(raw)
        if content:
            try:
                read_line(script, Line(content, f"{shown}:{number}"), number, vocabulary, given)
            except ScriptError as error:
                errors.append(error)
    if errors:
        raise ScriptErrors(errors)
    if not script.steps:
        raise ScriptError("the script has no action", shown)
    check_whole(script, shown)
    return script


def read_line(script: Script, line: Line, number: int, vocabulary: Vocabulary, given: set[str]) -> None:
    """Add a line's header or step to `script`; `given` holds the header words so far. Raises ScriptError."""
    word = line.peek()
    if word in HEADERS:
        if script.steps:
            line.refuse(f"'{word}' belongs above the first action")
        line.word("a word")
        if word != "set" and word in given:
            line.refuse(f"'{word}' is given twice")
        given.add(word)
        HEADERS[word](script, line, vocabulary)
        line.end()
    elif word in READERS:
        step = read_step(line, number, vocabulary)
        _check_balls(script, step, line)
        script.steps.append(step)
    else:
        known = (*HEADERS, *READERS)
        advice = did_you_mean(word, list(known)) or f"; lines begin with {', '.join(known)}"
        line.refuse(f"no line begins with '{word}'{advice}")


def _check_balls(script: Script, step: Step, line: Line) -> None:
    needs_plant = isinstance(step, (Shoot, Launch, EndBall)) or line.words[:2] == ["expect", "balls"]
    if needs_plant and script.balls != SIMULATED:
        line.refuse(f"'{line.words[0]}' needs 'balls simulated', and this script says 'balls {script.balls}'")


def check_whole(script: Script, shown: str) -> None:
    """Check what needs no run: the limit of time, and gains without a mark."""
    asked = 0
    marked = False
    for step in script.steps:
        marked = marked or isinstance(step, Mark)
        if step.text.startswith("expect gain") and not marked:
            raise ScriptError("a gain counts from a 'mark' line; there is none above", f"{shown}:{step.line}")
        if isinstance(step, (Wait, Hold)):
            asked += step.for_ms
        if asked > script.limit_ms:
            limit = script.limit_ms / 60_000
            raise ScriptError(
                f"the script would run past its limit of {limit:g} min; a 'limit' line raises it",
                f"{shown}:{step.line}",
            )
    _check_power(script, shown)


def _check_power(script: Script, shown: str) -> None:
    """Check that power goes off and on by turns, and that nothing needs the machine while it is off."""
    is_on = True
    for step in script.steps:
        where = f"{shown}:{step.line}"
        if isinstance(step, (PowerOff, PowerOn)):
            if script.balls == REAL:
                raise ScriptError("the bench cannot switch the power of a real machine", where)
            if is_on == isinstance(step, PowerOn):
                raise ScriptError(f"the machine is {'on' if is_on else 'off'} already", where)
            is_on = isinstance(step, PowerOn)
        elif not is_on and step.text.startswith(("expect window", "expect value")):
            raise ScriptError("windows and values need a machine that is on; it is off here", where)
        elif not is_on and isinstance(step, (Shoot, Start, Launch, EndBall)):
            word = step.text.split()[0]
            raise ScriptError(f"'{word}' needs a machine that is on; 'power on' switches it on", where)


def _title(script: Script, line: Line, vocabulary: Vocabulary) -> None:
    _, _, title = line.text.partition(" ")
    script.title = title.strip()
    if not script.title:
        line.refuse("the line ends where the title was expected")
    while line.peek():
        line.word("a word")


def _covers(script: Script, line: Line, vocabulary: Vocabulary) -> None:
    script.covers = line.names("feature", vocabulary.features)


def _seed(script: Script, line: Line, vocabulary: Vocabulary) -> None:
    script.seed = line.number("the seed", 0, 2**30 - 1)


def _set(script: Script, line: Line, vocabulary: Vocabulary) -> None:
    name = line.name("setting", tuple(vocabulary.settings))
    if name in script.settings:
        line.refuse(f"setting '{name}' is given twice")
    line.require("to")
    allowed = vocabulary.settings[name]
    script.settings[name] = line.number(name, allowed.least, allowed.most)


def _balls(script: Script, line: Line, vocabulary: Vocabulary) -> None:
    script.balls = line.choice("way of moving balls", (SIMULATED, MOVED, REAL))


def _limit(script: Script, line: Line, vocabulary: Vocabulary) -> None:
    script.limit_ms = line.time()
    if script.limit_ms > LONGEST_LIMIT_MS:
        line.refuse("a script's limit is at most 240 min")


HEADERS: dict[str, Callable[[Script, Line, Vocabulary], None]] = {
    "title": _title,
    "covers": _covers,
    "seed": _seed,
    "set": _set,
    "balls": _balls,
    "limit": _limit,
}
