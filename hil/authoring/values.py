"""The values of a field's words: points, times, shots, lists of them."""

import re
from collections.abc import Callable
from dataclasses import dataclass

from hil.authoring.errors import near_miss
from hil.authoring.words import joined

NUMBER = re.compile(r"\d{1,3}(,\d{3})+|\d+")
TIME = re.compile(r"(\d+(?:\.\d+)?) ?(ms|s|min)")
BETWEEN = re.compile(r",\s+|,(?=[A-Za-z_])|\s+then\s+|\s+or\s+|\s+and\s+")
FOR_EACH = re.compile(r"(\S+)(?: points?)? for (?:each |every |a |an |the )?(.+)")
MOST_POINTS = 100_000_000
LONGEST = 600
MS = {"ms": 1, "s": 1000, "min": 60_000}
PHRASES = {"each ball": "ball.started", "each game": "game.started"}


class Seconds(int):
    """Whole seconds; `words` as in a sentence."""

    @property
    def words(self) -> str:
        """ "14 seconds"."""
        return f"{int(self)} second{'s' * (self != 1)}"


@dataclass(frozen=True)
class Shot:
    """What a rule waits for: `event` as a chart has it, several with blanks between; `names` as described.

    `make` are script lines that make it happen; `dwells` whether the ball is then held for a moment.
    """

    event: str
    names: tuple[str, ...]
    how: Callable[[], str]
    dwells: bool = False
    switches: tuple[str, ...] = ()
    spoken: tuple[str, ...] = ()
    """Each of `names` as in a sentence."""
    once: bool = False
    """Whether it happens no second time."""

    @property
    def make(self) -> str:
        """The lines of a script that make the shot. Raises NotShown (shots.py) when no script shows how."""
        return self.how()

    @property
    def words(self) -> str:
        """As in a sentence: "the left orbit", "a bumper" for one of several switches."""
        return joined(self.spoken, "or")

    @property
    def begins(self) -> str:
        """The same at the beginning of a sentence."""
        return self.words[:1].upper() + self.words[1:]

    @property
    def code(self) -> str:
        """As in the rule sheet: "`orbit.left`"."""
        return joined([f"`{name}`" for name in self.names], "or")

    @property
    def is_made(self) -> bool:
        """Whether it counts as a shot, by one event or by those of a group such as both orbits."""
        return self.event.startswith("made.") and " " not in self.event

    @property
    def offer(self) -> str:
        """The event at which a lit award may be offered; "" for what is no shot."""
        return self.event if self.is_made else ""


@dataclass(frozen=True)
class Each:
    """So many points for each of some shots."""

    points: int
    shot: Shot

    @property
    def name(self) -> str:
        """A name for a method or an award."""
        return re.sub(r"\W", "_", self.shot.names[0])

    @property
    def guard(self) -> str:
        """The end of a chart's row: a made shot pays by itself only while no lit award waits there."""
        return ', "unlit"' if self.shot.is_made else ""


def whole(text: str, least: int, most: int, what: str = "a number") -> int:
    """A whole number. Raises ValueError with what is allowed."""
    if not NUMBER.fullmatch(text):
        raise ValueError(f"takes {what} such as {least:,}, not '{text}'")
    number = int(text.replace(",", ""))
    if not least <= number <= most:
        raise ValueError(f"takes {least:,} to {most:,}, not {number:,}")
    return number


def points(text: str) -> int:
    """Points such as 30,000: a multiple of 10. Raises ValueError."""
    number = whole(text.removesuffix(" points"), 10, MOST_POINTS, "points")
    if number % 10:
        raise ValueError(f"takes points in tens, since every score is a multiple of 10, not {number:,}")
    return number


def several_points(text: str) -> tuple[int, ...]:
    """Points one after another: "15,000, 40,000, 90,000". Raises ValueError."""
    return tuple(points(each) for each in parts(text))


def seconds(text: str) -> Seconds:
    """A time in whole seconds, 1 to 600. Raises ValueError."""
    found = TIME.fullmatch(text)
    if not found:
        raise ValueError(f"takes a time such as 14 s, not '{text}'")
    ms = _ms(found)
    if ms % 1000 or not 1000 <= ms <= LONGEST * 1000:
        raise ValueError(f"takes whole seconds, 1 to {LONGEST}, not {text}")
    return Seconds(ms // 1000)


def milliseconds(text: str) -> int:
    """A time of 100 ms to a minute, in ms. Raises ValueError."""
    found = TIME.fullmatch(text)
    ms = _ms(found) if found else 0
    if not 100 <= ms <= MS["min"] or ms % 10:
        raise ValueError(f"takes a time from 100 ms to 1 min, such as 0.5 s, not '{text}'")
    return int(ms)


def _ms(found: re.Match[str]) -> float:
    amount, unit = found.groups()
    return float(amount) * MS[unit]


def two_seconds(text: str) -> tuple[Seconds, ...]:
    """Two times: "12 s, 6 s". Raises ValueError."""
    found = tuple(seconds(each) for each in parts(text))
    if len(found) != 2:
        raise ValueError(f"takes two times such as 12 s, 6 s, not '{text}'")
    return found


def choice(*allowed: str) -> "Callable[[str], str]":
    """One of some words."""

    def read(text: str) -> str:
        if text not in allowed:
            raise ValueError(f"takes {joined(allowed, 'or')}, not '{text}'{did(text, allowed)}")
        return text

    return read


def did(word: str, allowed: tuple[str, ...]) -> str:
    """The near miss alone."""
    advice = near_miss(word, allowed)
    return advice if "did you mean" in advice else ""


def number(least: int, most: int) -> "Callable[[str], int]":
    """A whole number in a range."""
    return lambda text: whole(text, least, most)


def numbers(text: str) -> tuple[int, ...]:
    """Whole numbers, 1 to 1,000. Raises ValueError."""
    return tuple(whole(each, 1, 1000) for each in parts(text))


def text_of(text: str) -> str:
    """Words as they are; quotes and braces would break the source they go into. Raises ValueError."""
    if re.search(r'["\\{}]', text):
        raise ValueError(f"takes words without quotes, braces or backslashes, not {text!r}")
    return text


def parts(text: str) -> list[str]:
    """What commas, "then", "or" and "and" part."""
    return [each for each in BETWEEN.split(text) if each]


def each_of(text: str) -> list[tuple[str, str]]:
    """ "500 for each bumper, 110 for a sling" as pairs of texts. Raises ValueError."""
    found = []
    for piece in re.split(r",\s+(?=\S+(?: points?)? for )", text):
        pair = FOR_EACH.fullmatch(piece)
        if not pair:
            raise ValueError(
                f"takes points and what they are for, such as '500 for each bumper', not '{piece}'"
            )
        amount, thing = pair.groups()
        found.append((amount, thing))
    return found
