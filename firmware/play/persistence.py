"""What survives power loss: settings, persistent values, counts and the fault log, as named integers.

A store is any object that has

    key(name)   -> what it calls the value `name`: the name itself, or a number made of it
    load()      -> a dict of key and number: the last whole save, {} when there is none
    save(pairs) -> None; `pairs` gives (key, number), is read once, and is saved wholly or not at all:
                   an OSError means not at all
    lost        -> after `load`: sentences about what could not be loaded, [] when nothing was lost

Names: `version`, `starts`, `setting.NAME`, `value.FEATURE.NAME`, `count.NAME`, `award.NAME`,
`score_step.N`, `closures.SWITCH`, `unseen.SWITCH`, `fault.N.FIELD`. Numbers lie within ±2^30.
Unknown keys are saved again: they may be a later version's.
"""

from firmware.play.memory import PERSISTENT
from firmware.play.names import Names

VERSION = 1
FIELDS = ("detail", "times", "date", "start", "second", "seen")
LETTERS = "_abcdefghijklmnopqrstuvwxyz.123"  # place + 1 is five bits of a fault's name
BITS = 5
WORDS = ("a", "b", "c", "d")  # a name's first 24 letters in four numbers
A_WORD = 6


class Persistence:
    """Loads the last save into one machine, and hands the store what is to be saved.

    `unknown`: keys in the save that this game does not have (saved again); `missing`:
    places of settings that the save did not have; `refused`: of those saved out of range, now at
    their default. No two names may have one key; the host checks that (hil.checks.kept), a board
    has no room to.
    """

    def __init__(self, play: "RuleContext", store: "Store") -> None:
        self.unknown: list[tuple[Key, int]] = []
        self.missing: list[int] = []
        self.refused: list[int] = []
        self.save_wanted = False
        self.saves = 0
        self._play = play
        self._store = store
        self._starts = 0
        self._keys = Keys(play, store.key)
        self._kept = [value for value in play.memory.values if value.span == PERSISTENT]
        self._tables = (
            (self._keys.of_counts, play.counts.values),
            (self._keys.of_awards, play.score.award_counts),
            (self._keys.of_score_steps, play.counts.scores),
            (self._keys.of_closures, play.counts.closures),
            (self._keys.of_unseen, play.counts.unseen),
        )

    def load(self) -> None:
        """Load the last save; what did not fit is reported to the fault log."""
        found = self._store.load()
        faults = self._play.faults
        version = found.pop(self._keys.of_version, 0)
        if version:
            self._starts = found.pop(self._keys.of_starts, 0)
            self._take_settings(found)
            self._take_numbers(found)
            self._take_faults(found)
            self.unknown = sorted(found.items())
        if self._store.lost:
            faults.report("save_damaged", len(self._store.lost))
        if version > VERSION:
            faults.report("save_is_newer", version)
        if self.unknown:
            faults.report("save_unknown", len(self.unknown))
        if self.missing:
            faults.report("save_missing", len(self.missing))
        if self.refused:
            faults.report("save_refused", len(self.refused))
        self._starts += 1
        faults.start = self._starts
        self.save_wanted = True

    def needs_save(self) -> bool:
        """Whether there is something to save; called only while no ball is in play."""
        play = self._play
        if play.counts.changed and not play.score.live:
            self.save_wanted = True
        return self.save_wanted or play.faults.changed

    def save(self) -> None:
        """Hand everything to the store."""
        self.save_wanted = False
        self.saves += 1
        self._play.counts.changed = False
        self._play.faults.changed = False
        try:
            self._store.save(self.pairs())
            self._play.faults.mark_saved()
        except OSError:  # the save before is still valid; the fault log reports it, play goes on
            self._play.faults.report("save_failed")
            self._play.faults.changed = False  # no reason to try again at once

    def pairs(self) -> "Iterator[tuple[Key, int]]":
        """Key and number of everything that is saved."""
        yield self._keys.of_version, VERSION
        yield self._keys.of_starts, self._starts
        for i in range(len(self._keys.of_settings)):
            yield self._keys.of_settings[i], self._play.settings.all[i].value
        for i in range(len(self._kept)):
            yield self._keys.of_values[i], self._kept[i].value
        for called, numbers in self._tables:
            for i in range(len(called)):
                if numbers[i]:
                    yield called[i], numbers[i]
        yield from self._faults()
        yield from self.unknown

    def _faults(self) -> "Iterator[tuple[Key, int]]":
        key = self._store.key
        faults = self._play.faults
        for at in range(faults.count):
            first = "fault." + str(at) + "."
            name = pack(faults.name(at))
            for i in range(len(WORDS)):
                yield key(first + WORDS[i]), name[i]
            fields = faults.numbers(at)
            for i in range(len(FIELDS)):
                yield key(first + FIELDS[i]), fields[i]

    def _take_settings(self, found: "dict[Key, int]") -> None:
        for i in range(len(self._keys.of_settings)):
            n = found.pop(self._keys.of_settings[i], None)
            if n is None:
                self.missing.append(i)
            elif not self._play.settings.set(i, n):
                self.refused.append(i)

    def _take_numbers(self, found: "dict[Key, int]") -> None:
        for i in range(len(self._kept)):
            value = self._kept[i]
            value.value = value.saved = found.pop(self._keys.of_values[i], value.start)
        for called, numbers in self._tables:
            for i in range(len(called)):
                numbers[i] = found.pop(called[i], 0)

    def _take_faults(self, found: "dict[Key, int]") -> None:
        at = 0
        first = "fault.0."
        key = self._store.key
        while key(first + FIELDS[0]) in found:
            name = unpack([found.pop(key(first + word), 0) for word in WORDS])
            detail, times, date, start, second, seen = [found.pop(key(first + f), 0) for f in FIELDS]
            self._play.faults.restore(name, (detail, times, date, start, second, seen))
            at += 1
            first = "fault." + str(at) + "."


class Keys:
    """What the store calls each persistent number: tuples in the order of the numbers."""

    def __init__(self, play: "RuleContext", key: "Callable[[str], Key]") -> None:
        names = Names(play)
        values = play.memory.values
        persistent = [values[i].name for i in range(len(values)) if values[i].span == PERSISTENT]
        self.of_version = key("version")
        self.of_starts = key("starts")
        self.of_settings = _each(key, "setting.", names.of_settings)
        self.of_values = _each(key, "value.", persistent)
        self.of_counts = _each(key, "count.", names.of_counts)
        self.of_awards = _each(key, "award.", play.score.names)
        self.of_score_steps = _each(key, "score_step.", [str(i) for i in range(len(play.counts.scores))])
        self.of_closures = _each(key, "closures.", names.of_switches)
        self.of_unseen = _each(key, "unseen.", names.of_switches)


def _each(key: "Callable[[str], Key]", kind: str, names: "Sequence[str]") -> "tuple[Key, ...]":
    return tuple([key(kind + name) for name in names])


def pack(name: str) -> "list[int]":
    """A fault's name as numbers; letters that LETTERS does not have become `_`."""
    packed = []
    for i in range(len(WORDS)):
        n = 0
        for letter in reversed(name[i * A_WORD : i * A_WORD + A_WORD]):
            n = n << BITS | (LETTERS.find(letter) + 1 or 1)
        packed.append(n)
    return packed


def unpack(packed: "list[int]") -> str:
    """The name behind the numbers."""
    name = ""
    for n in packed:
        while n:
            name += LETTERS[(n & 31) - 1]
            n >>= BITS
    return name


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from firmware.play.interfaces import Key, Store
    from firmware.play.rule_context import RuleContext
