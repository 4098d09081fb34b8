"""Carries what a running console remembers over to the console of a changed game, by names.

What a machine remembers is where it differs from one of the same game that was just switched on. So the
running console, a fresh one of its game and one of the changed game are walked side by side, and what differs
between the first two is written into the third; values, points, states and timers go by their names.
"""

import operator
import sys
from array import array
from types import ModuleType
from typing import NamedTuple

from firmware.base.agenda import Agenda
from firmware.base.trace import Trace
from firmware.board import Board
from firmware.charts import region_state
from firmware.charts.engine import Engine
from firmware.charts.events import Events
from firmware.charts.table import CHART, CLOCK, Table
from firmware.console import Console
from firmware.play.memory import PLAYER, PLAYERS, Memory, Value
from firmware.play.persistence import Persistence
from firmware.play.rule_context import Clock
from firmware.play.score import Award
from firmware.play.settings import Setting, Settings

PLAIN = (int, str, bytes, float, type(None))
SEQUENCE = (list, tuple, bytearray, array)
WRITABLE = (list, bytearray, array)
BY_NAME = (Trace, Board, Engine, Table, Agenda, Events, Memory, Value, Settings, Setting, Persistence, Award)
HOST = {"hil", "simulator", *sys.stdlib_module_names}  # packages whose objects a game does not remember
NUMBERED = {"award_counts", "names", "hooks"}  # their places are numbers of a game's names


class Three(NamedTuple):
    """The same object in the running console, in a fresh one of its game, and in the changed game's."""

    old: object
    fresh: object
    new: object


def carry_over(old: Console, fresh: Console, new: Console) -> list[str]:
    """Make `new` go on where `old` is; a sentence for each thing that could not be kept.

    `fresh` is of the game of `old`; no page of the operator is open. The wiring tables of both games name the
    same switches, lamps and coils.
    """
    new.timers.now = old.timers.now
    new.now, new.trace.now = old.now, old.trace.now
    walk = Walk()
    lost = _features(walk, old, fresh, new)
    walk.attributes(Three(old, fresh, new))
    walk.refer()
    _settings(old, new)
    lost += _values(old, new)
    _points(old, new)
    for number in range(len(new.timers)):
        new.timers.stop(number)
    lost += _states(old, new)
    lost += _shares(old, new)
    _timers(walk, old, new)
    new.play.show_all = True
    new.play.lamps.touch_all()
    return lost


class Walk:
    """Goes through three consoles side by side and writes what differs in the first two into the third."""

    def __init__(self) -> None:
        self.clocks: dict[int, int] = {}  # by number in the old console: in the new one
        self._found: dict[int, tuple[object, object]] = {}  # by id of an old object: it, and the new one
        self._references: list[tuple[object, str, object]] = []

    def attributes(self, three: Three) -> None:
        """An object with attributes, and all that can be reached from it; each only once."""
        old, fresh, new = three
        if id(old) in self._found or isinstance(old, BY_NAME) or type(old).__name__ != type(new).__name__:
            return
        self._found[id(old)] = old, new
        if isinstance(old, Clock) and isinstance(new, Clock):
            self.clocks[old.ident] = new.ident
            return
        mine, start, theirs = vars(old), vars(fresh), vars(new)
        # What holds many comes first: an attribute that holds one of them may hold another than at the start.
        for name, value in sorted(mine.items(), key=lambda item: _is_ours(item[1])):
            if name in theirs and name in start and name not in NUMBERED:
                self._value(new, name, Three(value, start[name], theirs[name]))

    def refer(self) -> None:
        """Attributes that hold another object now than at the start: let them hold its counterpart."""
        for owner, name, old in self._references:
            if id(old) in self._found:
                setattr(owner, name, self._found[id(old)][1])

    def _value(self, owner: object, name: str, three: Three) -> None:
        old, fresh = three[:2]
        if isinstance(old, PLAIN) or isinstance(fresh, PLAIN):
            if isinstance(old, PLAIN) and old != fresh:
                setattr(owner, name, old)
            elif not isinstance(old, PLAIN) and hasattr(old, "__dict__"):
                self._references.append((owner, name, old))
        elif isinstance(old, SEQUENCE):
            self._sequence(three)
        elif isinstance(old, dict):
            self._dict(three)
        elif _is_ours(old):
            self.attributes(three)
            self._references.append((owner, name, old))

    def _sequence(self, three: Three) -> None:
        old, fresh, new = three
        if not (isinstance(old, SEQUENCE) and isinstance(fresh, SEQUENCE) and isinstance(new, SEQUENCE)):
            return
        if not len(old) == len(fresh) == len(new):
            return
        for at, (value, start, goal) in enumerate(zip(old, fresh, new, strict=True)):
            if isinstance(value, PLAIN):
                if value != start and isinstance(new, WRITABLE):
                    operator.setitem(new, at, value)
            elif isinstance(value, SEQUENCE):
                self._sequence(Three(value, start, goal))
            elif _is_ours(value):
                self.attributes(Three(value, start, goal))

    def _dict(self, three: Three) -> None:
        old, fresh, new = three
        assert isinstance(old, dict)
        if not isinstance(fresh, dict) or not isinstance(new, dict):
            return
        for key, value in old.items():
            if isinstance(value, PLAIN):
                if fresh.get(key) != value:
                    new[key] = value
            elif key in fresh and key in new and _is_ours(value):
                self.attributes(Three(value, fresh[key], new[key]))


def _is_ours(value: object) -> bool:
    """Whether it is an object of firmware or a game: no function, class or module, and none of the host's."""
    if not hasattr(value, "__dict__") or isinstance(value, type | ModuleType) or callable(value):
        return False
    return type(value).__module__.partition(".")[0] not in HOST


def _features(walk: Walk, old: Console, fresh: Console, new: Console) -> list[str]:
    """Features by name, before the walk meets them by their places."""
    lost = []
    for feature in old.play.features:
        start, goal = fresh.play.get(feature.name), new.play.get(feature.name)
        if goal is None:
            lost.append(f"{feature.name} is gone")
        else:
            walk.attributes(Three(feature, start, goal))
    known = {feature.name for feature in old.play.features}
    lost += [f"{one.name} is new: it begins" for one in new.play.features if one.name not in known]
    return lost


def _settings(old: Console, new: Console) -> None:
    """Settings by name, where the changed game allows their values."""
    present = {setting.name: setting.value for setting in old.settings.all}
    for place, setting in enumerate(new.settings.all):
        if setting.name in present:
            new.settings.set(place, present[setting.name])
    new.play.lamps.calm = old.play.lamps.calm


def _values(old: Console, new: Console) -> list[str]:
    """Values by name: the present ones, and each player's own."""
    goals = {value.name: value for value in new.memory.values}
    lost = []
    for value in old.memory.values:
        goal = goals.get(value.name)
        if goal is None:
            lost.append(f"the value {value.name} is gone")
        elif goal.span != value.span:
            lost.append(f"the value {value.name} lasts otherwise: it begins at {goal.start}")
        else:
            goal.value, goal.saved = value.value, value.saved
    mine, theirs = _own(old), _own(new)
    for player in range(PLAYERS):
        for name, place in mine.items():
            if name in theirs:
                new.memory._shares[player][theirs[name]] = old.memory._shares[player][place]
    return lost


def _own(console: Console) -> dict[str, int]:
    """The places of the values that each player has for himself, by name."""
    own = [value.name for value in console.memory.values if value.span == PLAYER]
    return {name: place for place, name in enumerate(own)}


def _points(old: Console, new: Console) -> None:
    """How often each award was paid, by name. The scores themselves were met by the walk."""
    counts = dict(zip(old.award_names, old.play.score.award_counts, strict=True))
    for place, name in enumerate(new.award_names):
        new.play.score.award_counts[place] = counts.get(name, 0)


def _states(old: Console, new: Console) -> list[str]:
    """Each chart in the state of the same name."""
    lost = []
    theirs = {path: state for state, path in enumerate(new.table.names)}
    regions = {new.table.names[root]: region for region, root in enumerate(new.table.roots)}
    kept = set()
    for region, root in enumerate(old.table.roots):
        name, leaf = old.table.names[root], old.engine.leaf[region]
        if name not in regions:
            continue
        path = old.table.names[leaf] if leaf else ""
        state = theirs.get(path, 0) if leaf else 0
        if leaf and (not state or new.table.end[state] != state + 1):
            lost.append(f"{name} was in {path.rpartition('/')[2]}, which is gone: it begins")
            continue
        new.engine.leaf[regions[name]] = state
        kept.add(regions[name])
    for chart in range(new.table.charts):
        if chart not in kept:
            region_state.restart(new.engine, chart)
    _histories(old.engine, new.engine)
    return lost


def _histories(old: Engine, new: Engine) -> None:
    """What histories remember, where all states are the same."""
    if old.parallel is not None and new.parallel is not None and old.table.names == new.table.names:
        for slot in range(len(old.parallel.memory)):
            new.parallel.memory[slot] = old.parallel.memory[slot]


def _shares(old: Console, new: Console) -> list[str]:
    """The chart states of players who are not up, where the chart has the same states."""
    lost = []
    mine, theirs = dict(old.turns._own), dict(new.turns._own)
    for chart, shares in mine.items():
        name = old.table.names[old.table.roots[chart]]
        goal = next((one for one in theirs if new.table.names[new.table.roots[one]] == name), None)
        if goal is None:
            continue
        if _inside(old, chart) != _inside(new, goal) or len(shares[0]) != len(theirs[goal][0]):
            if old.play.players > 1:
                lost.append(f"{name} begins anew for the other players: its states are others")
            continue
        shift = new.table.roots[goal] - old.table.roots[chart]
        for player in range(PLAYERS):
            theirs[goal][player][:] = shares[player]
            state = shares[player][0] | shares[player][1] << 8
            moved = state + shift if state else 0
            theirs[goal][player][0], theirs[goal][player][1] = moved & 0xFF, moved >> 8
    return lost


def _inside(console: Console, chart: int) -> tuple[str, ...]:
    """The states of a chart."""
    root = console.table.roots[chart]
    return tuple(console.table.names[root : console.table.end[root]])


def _timers(walk: Walk, old: Console, new: Console) -> None:
    """Running timers: of switches, of clocks that the walk met, and of states by chart and place."""
    same = {number: number for number in range(old.switches.count)} | walk.clocks | _chart_timers(old, new)
    for group in range(64):
        if old.timers.frozen(group):
            new.timers.freeze(group)
        else:
            new.timers.thaw(group)
    for mine, goal in same.items():
        if old.timers.running(mine):
            new.timers.start(goal, old.timers.left(mine))


def _chart_timers(old: Console, new: Console) -> dict[int, int]:
    """The numbers of timed transitions, old to new, by chart and place; none where their count differs."""
    theirs = _clocks_of(new)
    found: dict[int, int] = {}
    for name, numbers in _clocks_of(old).items():
        goals = theirs.get(name, [])
        if len(goals) == len(numbers):
            found |= dict(zip(numbers, goals, strict=True))
    return found


def _clocks_of(console: Console) -> dict[str, list[int]]:
    table = console.table
    found: dict[str, list[int]] = {}
    for place in range(len(table.delays)):
        chart = table.clocks[CLOCK * place + CHART]
        found.setdefault(table.names[table.roots[chart]], []).append(console.engine.first_timer + place)
    return found
