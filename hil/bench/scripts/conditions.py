"""The conditions that scripts can expect of a machine.

`since` is the position in `View.history` from which events count.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from hil.bench.view import FAST, OFF, ON, RAPID, SLOW, TraceEvent, View, pattern_words, seconds

LAMP_WORDS: dict[str, tuple[int, ...]] = {
    "on": (ON,),
    "off": (OFF,),
    "lit": (ON, SLOW, FAST, RAPID),
    "blinking": (SLOW, FAST, RAPID),
    "blinking slow": (SLOW,),
    "blinking fast": (FAST,),
    "blinking rapid": (RAPID,),
}


class Scene(Protocol):
    """What conditions look at: the view, the scores at the last mark, the places of the balls."""

    view: View

    @property
    def since(self) -> int:
        """The position in `view.history` from which events count."""

    @property
    def marked(self) -> dict[int, int]:
        """Each player's score at the last mark, by player (from 1)."""

    def balls_in(self, place: str) -> int:
        """How many balls are in a place."""

    def window(self, name: str) -> int:
        """The ms left of a window; 0: closed, negative: it stands still. Raises LinkError: not known."""

    def value(self, name: str) -> int:
        """What a value holds; one of a player is the playing player's. Raises LinkError: not known."""


class Condition(Protocol):
    """Something that holds at an instant or does not."""

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""

    def describe_seen(self, scene: Scene) -> str:
        """What there is to see of it, in words for the report."""


@dataclass(frozen=True)
class Not:
    """The negation of a condition."""

    inner: Condition

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""
        return not self.inner.is_met(scene)

    def describe_seen(self, scene: Scene) -> str:
        """What holds instead, in words."""
        return self.inner.describe_seen(scene)


@dataclass(frozen=True)
class Lamp:
    """A lamp shows one of these patterns."""

    name: str
    patterns: tuple[int, ...]

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""
        return scene.view.lamps[self.name] in self.patterns

    def describe_seen(self, scene: Scene) -> str:
        """What holds instead, in words."""
        words = pattern_words(scene.view.lamps[self.name])
        return f"lamp {self.name} {words} since {seconds(scene.view.lamps_since[self.name])}"


@dataclass(frozen=True)
class Held:
    """A coil is held on."""

    name: str

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""
        return scene.view.coils[self.name].value < 0

    def describe_seen(self, scene: Scene) -> str:
        """What holds instead, in words."""
        coil = scene.view.coils[self.name]
        return f"coil {self.name} {'held on' if coil.value < 0 else 'not held'} since {seconds(coil.since)}"


@dataclass(frozen=True)
class Closed:
    """A debounced switch is closed, or open."""

    name: str
    closed: bool

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""
        return scene.view.switches[self.name] == self.closed

    def describe_seen(self, scene: Scene) -> str:
        """What holds instead, in words."""
        return f"switch {self.name} {'closed' if scene.view.switches[self.name] else 'open'}"


@dataclass(frozen=True)
class Shows:
    """A display (from 0, −1: any) equals a text, or contains it."""

    line: int
    text: str
    anywhere: bool

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""
        lines = scene.view.lines if self.line < 0 else (scene.view.lines[self.line],)
        return any(self.text in line if self.anywhere else self.text.strip() == line for line in lines)

    def describe_seen(self, scene: Scene) -> str:
        """What holds instead, in words."""
        view = scene.view
        shown = range(len(view.lines)) if self.line < 0 else (self.line,)
        return ", ".join(
            f"line {at + 1} '{view.lines[at]}' since {seconds(view.lines_since[at])}" for at in shown
        )


@dataclass(frozen=True)
class Amount:
    """A number of the view compared with `n`: `how` is "" for equal, "at least" or "at most"."""

    what: str
    look: Callable[[Scene], int]
    how: str
    n: int

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""
        seen = self.look(scene)
        if self.how:
            return seen >= self.n if self.how == "at least" else seen <= self.n
        return seen == self.n

    def describe_seen(self, scene: Scene) -> str:
        """What holds instead, in words."""
        return f"{self.what} {self.look(scene):,}"


@dataclass(frozen=True)
class State:
    """A region of a statechart is in a state."""

    region: str
    state: str

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""
        return scene.view.states.get(self.region) == self.state

    def describe_seen(self, scene: Scene) -> str:
        """What holds instead, in words."""
        view = scene.view
        state = view.states.get(self.region, "no state yet")
        return f"state of {self.region} {state} since {seconds(view.states_since.get(self.region, 0))}"


OPEN, CLOSED, STILL, RUNS = "open", "closed", "stands still", "runs"


@dataclass(frozen=True)
class Window:
    """A window is in one of these: OPEN (running or not), CLOSED, STILL, RUNS."""

    name: str
    state: str

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""
        left = scene.window(self.name)
        return {OPEN: left != 0, CLOSED: left == 0, STILL: left < 0, RUNS: left > 0}[self.state]

    def describe_seen(self, scene: Scene) -> str:
        """What holds instead, in words."""
        return f"window {self.name} {window_words(scene.window(self.name))}"


@dataclass(frozen=True)
class WindowLeft:
    """An open window has so many ms left, from `least` to `most`."""

    name: str
    least: int
    most: int

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""
        left = abs(scene.window(self.name))
        return left > 0 and self.least <= left <= self.most

    def describe_seen(self, scene: Scene) -> str:
        """What holds instead, in words."""
        return f"window {self.name} {window_words(scene.window(self.name))}"


def window_words(left_ms: int) -> str:
    """A window in words, by the ms left: 0 is closed, negative stands still."""
    if not left_ms:
        return CLOSED
    return f"open, {seconds(abs(left_ms))} left, {STILL if left_ms < 0 else RUNS}"


@dataclass(frozen=True)
class Playing:
    """Whether a game is running."""

    running: bool

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""
        return scene.view.playing == self.running

    def describe_seen(self, scene: Scene) -> str:
        """What holds instead, in words."""
        return f"game {'running' if scene.view.playing else 'over'}"


@dataclass(frozen=True)
class Happened:
    """Something happened since the last action: at least once, or exactly `times` times.

    `value`: only events with that value count.
    """

    kind: str
    name: str
    done: str
    times: int = 0
    value: int | None = None

    def is_met(self, scene: Scene) -> bool:
        """Whether it holds now."""
        found = len(self._found(scene))
        return found == self.times if self.times else found > 0

    def describe_seen(self, scene: Scene) -> str:
        """What holds instead, in words."""
        found = self._found(scene)
        kind = "coil" if self.kind == "refused" else self.kind
        if found:
            when = ", ".join(seconds(ms) for ms in found[:5]) + (" …" if len(found) > 5 else "")
            return f"{kind} {self.name} {self.done} {len(found)} time{'s' * (len(found) > 1)}, at {when}"
        others = [h for h in self._all(scene) if self.value is not None]
        if others:
            values = ", ".join(f"{h.value:,}" for h in others[:5])
            return f"{kind} {self.name} {self.done} {values} instead of {self.value:,}"
        return f"{kind} {self.name} not {self.done}"

    def _found(self, scene: Scene) -> list[int]:
        return [h.ms for h in self._all(scene) if self.value is None or h.value == self.value]

    def _all(self, scene: Scene) -> list[TraceEvent]:
        return [h for h in scene.view.history[scene.since :] if self._is_it(h)]

    def _is_it(self, event: TraceEvent) -> bool:
        if event.kind != self.kind or event.name != self.name:
            return False
        return event.value != 0 or self.kind != "coil"


def score_of(player: int) -> Callable[[Scene], int]:
    """Reads a player's score; 0 is the playing player."""
    return lambda scene: scene.view.scores.get(player or scene.view.player, 0)


def gain_of(player: int) -> Callable[[Scene], int]:
    """Reads what a player gained since the last mark; 0 is the playing player."""

    def look(scene: Scene) -> int:
        who = player or scene.view.player
        return scene.view.scores.get(who, 0) - scene.marked.get(who, 0)

    return look


def value_of(name: str) -> Callable[[Scene], int]:
    """Reads a value of the game."""
    return lambda scene: scene.value(name)


def balls_in(place: str) -> Callable[[Scene], int]:
    """Reads how many of the plant's balls are in a place."""
    return lambda scene: scene.balls_in(place)
