"""One line of a switch script, parsed word by word; every error has its file and line."""

import re
from collections.abc import Sequence
from typing import NoReturn

from firmware.base.errors import ScriptError
from firmware.charts.suggest import did_you_mean
from hil.likeness import near

_WORD = re.compile(r'"[^"]*"?|-?\d{1,3}(?:,\d{3})+(?![\w,.])|,|±|[^\s,"±]+')
_NUMBER = re.compile(r"-?\d+|-?\d{1,3}(?:,\d{3})+")
_TIME = re.compile(r"(\d+(?:\.\d+)?)([A-Za-zµ]*)")
UNITS = {"ms": 1, "s": 1000, "min": 60_000}
MOST_LISTED = 20  # words that a sentence lists
LONGEST_MS = 24 * 60 * 60_000


class Line:
    """The words of one line; `where` is "file:line". Methods raise ScriptError with it."""

    def __init__(self, text: str, where: str) -> None:
        self.text = text
        self.where = where
        self.words: list[str] = _WORD.findall(text)
        self._at = 0

    def refuse(self, text: str) -> NoReturn:
        """Raise ScriptError for this line."""
        raise ScriptError(text, self.where)

    def peek(self, ahead: int = 0) -> str:
        """The word `ahead` places after the next one, or "" past the end."""
        at = self._at + ahead
        return self.words[at] if at < len(self.words) else ""

    def word(self, what: str) -> str:
        """Read the next word; `what` names it in the error at the end of the line."""
        if self._at == len(self.words):
            self.refuse(f"the line ends where {what} was expected")
        self._at += 1
        return self.words[self._at - 1]

    def choice(self, what: str, allowed: Sequence[str]) -> str:
        """Read one of the `allowed` words."""
        listed = ", ".join(f"'{word}'" for word in allowed) if len(allowed) < MOST_LISTED else ""
        if not self.peek() and listed:
            self.refuse(f"the line ends where {what} was expected: {listed}")
        word = self.word(what)
        if word not in allowed:
            advice = did_you_mean(word, list(allowed)) or (f"; allowed: {listed}" if listed else "")
            self.refuse(f"'{word}' is no {what}{advice}")
        return word

    def accept(self, *words: str) -> bool:
        """Read these words if they come next; whether they did."""
        if tuple(self.words[self._at : self._at + len(words)]) == words:
            self._at += len(words)
            return True
        return False

    def require(self, word: str) -> None:
        """Read `word`, which must come next."""
        if not self.accept(word):
            given = f", not '{self.peek()}'" if self.peek() else ", but the line ends"
            self.refuse(f"'{word}' was expected{given}")

    def name(self, kind: str, known: Sequence[str]) -> str:
        """Read the name of a `kind` (switch, lamp …), one of `known`."""
        given = self.word(f"the name of a {kind}")
        if given not in known:
            self.refuse(f"there is no {kind} '{given}'{near(given, known)}")
        return given

    def names(self, kind: str, known: Sequence[str]) -> tuple[str, ...]:
        """Read one or more names, separated by commas."""
        found = [self.name(kind, known)]
        while self.accept(","):
            found.append(self.name(kind, known))
        return tuple(found)

    def is_number(self) -> bool:
        """Whether the next word is a whole number."""
        return _NUMBER.fullmatch(self.peek()) is not None

    def number(self, what: str, least: int, most: int) -> int:
        """Read a whole number from `least` to `most`; commas between thousands are allowed."""
        given = self.word(what)
        if not _NUMBER.fullmatch(given):
            self.refuse(f"{what} must be a whole number, not '{given}'")
        n = int(given.replace(",", ""))
        if not least <= n <= most:
            self.refuse(f"{what} must be {least:,} to {most:,}, not {n:,}")
        return n

    def time(self) -> int:
        """Read a time with its unit (250 ms, 1.5 s, 2 min); returns ms."""
        given = self.word("a time, such as 250 ms or 1.5 s,")
        match = _TIME.fullmatch(given)
        if not match:
            self.refuse(f"'{given}' is no time; write it as 250 ms, 1.5 s or 2 min")
        digits, unit = match.groups()
        if not unit:
            if not re.fullmatch(r"[A-Za-zµ]+", self.peek()):
                self.refuse(f"the time {digits} has no unit; ms, s or min")
            unit = self.word("a unit")
        if unit not in UNITS:
            self.refuse(f"'{unit}' is no unit of time; ms, s or min")
        return self._milliseconds(digits, unit)

    def _milliseconds(self, digits: str, unit: str) -> int:
        whole, _, part = digits.partition(".")
        scale = int(10 ** len(part))
        ms, rest = divmod((int(whole) * scale + int(part or "0")) * UNITS[unit], scale)
        if rest:
            self.refuse(f"{digits} {unit} is not a whole number of milliseconds")
        if not 0 < ms <= LONGEST_MS:
            self.refuse(f"a time must be 1 ms to 24 hours, not {digits} {unit}")
        return ms

    def quoted(self) -> str:
        """Read a text in double quotes."""
        given = self.word('a text in "quotes"')
        if not given.startswith('"'):
            self.refuse(f'a text in "quotes" was expected, not {given}')
        if len(given) < 2 or not given.endswith('"'):
            self.refuse(f"the text {given} has no closing quote")
        return given[1:-1]

    def end(self) -> None:
        """Refuse anything that follows."""
        if self.peek():
            self.refuse(f"'{self.peek()}' was not expected here")


def without_comment(text: str) -> str:
    """`text` up to the first `#` outside quotes."""
    inside = False
    for at, letter in enumerate(text):
        if letter == '"':
            inside = not inside
        elif letter == "#" and not inside:
            return text[:at].strip()
    return text.strip()
