"""The signals of one run over its time, recorded while it is played: for waveforms and for the timeline."""

from dataclasses import dataclass, field
from typing import NamedTuple

from hil.bench.run_clock import RunClock
from hil.bench.targets.sampled import SampledTarget
from hil.bench.targets.target import Target

ON, NUMBER, TEXT = "on", "number", "text"
KINDS = ("switch", "lamp", "coil", "window", "value", "state", "display", "score", "game")
Level = int | str


class Signal(NamedTuple):
    """One signal: its kind (of KINDS), its name, and ON (0 or 1), NUMBER (32 bits, signed) or TEXT."""

    kind: str
    name: str
    form: str


class Change(NamedTuple):
    """A new level, from `ms` on."""

    ms: int
    level: Level


@dataclass
class Waves:
    """Every signal's changes in order of time; `end_ms` is when the run ended.

    `lacks` names the kinds that the target cannot tell.
    """

    title: str
    changes: dict[Signal, list[Change]] = field(default_factory=dict)
    end_ms: int = 0
    lacks: tuple[str, ...] = ()

    def of_kind(self, kind: str) -> dict[str, list[Change]]:
        """The signals of a kind that ever changed, by name."""
        return {s.name: found for s, found in self.changes.items() if s.kind == kind and len(found) > 1}

    def level(self, kind: str, name: str, ms: int) -> Level:
        """What a signal was at a time: 0 or "" before its first change."""
        found = next((each for signal, each in self.changes.items() if signal[:2] == (kind, name)), [])
        past = [change.level for change in found if change.ms <= ms]
        return past[-1] if past else 0


class WaveRecorder:
    """Records a run: the view after each millisecond with records, windows and values as they are sampled.

    `target` is the one to be run; `watch` begins with a session's clock, before it starts.
    """

    def __init__(self, title: str, target: Target, step_ms: int = 1) -> None:
        self.waves = Waves(title)
        self.target = SampledTarget(target, step_ms, self._sample)
        self._last: dict[Signal, Level] = {}
        self._pulses: dict[str, int] = {}  # when each pulsed coil goes off by itself
        if not self.target.can_tell:
            self.waves.lacks = ("window", "value")

    def watch(self, clock: RunClock) -> None:
        """Record from now on."""
        self._clock = clock
        self._view = clock.view
        for signal, level in self._seen(0):
            self._set(signal, level, 0)
        clock.watchers.append(self.look)

    def look(self) -> None:
        """Record what has changed at the present time of the view."""
        ms = max(self._view.now_ms, self.waves.end_ms)
        self._end_pulses(ms)
        for signal, level in self._seen(ms):
            self._set(signal, level, ms)
        self.waves.end_ms = ms

    def end(self) -> Waves:
        """Everything recorded, once the run has ended."""
        end_ms = max(self._clock.now, self.waves.end_ms)
        self._end_pulses(end_ms)
        self.waves.end_ms = end_ms
        return self.waves

    def _set(self, signal: Signal, level: Level, ms: int) -> None:
        changes = self.waves.changes.setdefault(signal, [])
        if changes and self._last[signal] == level:
            return
        if changes and changes[-1].ms == ms:
            changes[-1] = Change(ms, level)
        else:
            changes.append(Change(ms if changes else 0, level))
        self._last[signal] = level

    def _end_pulses(self, ms: int) -> None:
        for name in [name for name, until in self._pulses.items() if until <= ms]:
            self._set(Signal("coil", name, ON), 0, self._pulses.pop(name))

    def _seen(self, ms: int) -> list[tuple[Signal, Level]]:
        view = self._view
        found: list[tuple[Signal, Level]] = [
            (Signal("switch", name, ON), int(closed)) for name, closed in view.switches.items()
        ]
        found += [(Signal("lamp", name, NUMBER), pattern) for name, pattern in view.lamps.items()]
        found += [(Signal("coil", name, ON), self._coil(name, ms)) for name in view.coils]
        found += [(Signal("state", name, TEXT), state) for name, state in view.states.items()]
        found += [
            (Signal("display", row.name or f"line_{at + 1}", TEXT), view.lines[at])
            for at, row in enumerate(view.names.displays)
        ]
        players = range(1, 5)
        found += [(Signal("score", f"player_{n}", NUMBER), view.scores.get(n, 0)) for n in players]
        found += [
            (Signal("game", "ball", NUMBER), view.ball),
            (Signal("game", "player", NUMBER), view.player),
        ]
        return found

    def _coil(self, name: str, ms: int) -> int:
        """Whether a coil is on; a pulse's end is written down for later."""
        coil = self._view.coils[name]
        if coil.value <= 0:
            self._pulses.pop(name, None)
            return int(coil.value < 0)
        until = coil.since + coil.value
        if until > ms:
            self._pulses[name] = until
        return int(until > ms)

    def _sample(self, ms: int, windows: list[int], values: list[int]) -> None:
        names = self._view.names
        at = ms + self._view.on_since_ms
        for name, left in zip(names.windows, windows, strict=True):
            self._set(Signal("window", name, ON), int(left != 0), at)
        for name, value in zip(names.values, values, strict=True):
            self._set(Signal("value", name, NUMBER), value, at)
