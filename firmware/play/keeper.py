"""What is kept through power loss: settings, kept values, counts and the fault log, as named integers.

A store is any object that has

    key(name)   -> what it calls the value `name`: the name itself, or a number made of it
    load()      -> a dict of key and number: the last whole save, {} when there is none
    save(pairs) -> None; `pairs` gives (key, number), is read once, and is kept wholly or not at all
    lost        -> after `load`: sentences about what could not be had, [] when nothing was lost

Names: `version`, `starts`, `setting.NAME`, `value.FEATURE.NAME`, `count.NAME`, `award.NAME`,
`score_step.N`, `closures.SWITCH`, `unseen.SWITCH`, `fault.N.FIELD`. Numbers lie within ±2^30.
Keys nobody asks for are kept: they may be a later version's.
"""

from firmware.play.memory import KEPT

VERSION = 1
FIELDS = ("detail", "times", "date", "start", "second", "seen")
LETTERS = "_abcdefghijklmnopqrstuvwxyz.123"  # place + 1 is five bits of a fault's name
BITS = 5
WORDS = ("a", "b", "c", "d")  # a name's first 24 letters in four numbers
A_WORD = 6


class Keeper:
    """Loads what was kept into one machine, and gives the store what is to be kept.

    `unknown`: keys in the save that this game does not have (kept in the next save); `missing`:
    settings that the save did not have; `refused`: settings saved out of range, now at their default.
    """

    def __init__(self, play: "Playfield", store: "Any") -> None:
        self.unknown: list[tuple[Any, int]] = []
        self.missing: list[str] = []
        self.refused: list[str] = []
        self.wanted = False
        self.saves = 0
        self._play = play
        self._store = store
        self._starts = 0

    def load(self) -> None:
        """Take up the last save, and report what did not fit to the fault log."""
        found = self._store.load()
        faults = self._play.faults
        version = self._pop(found, "version", 0)
        if version:
            self._starts = self._pop(found, "starts", 0)
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
        self.wanted = True

    def look(self) -> bool:
        """Whether there is something to save; asked only while no ball is in play."""
        play = self._play
        if play.counts.changed and not play.score.live:
            self.wanted = True
        return self.wanted or play.faults.changed

    def save(self) -> None:
        """Hand everything to the store."""
        self.wanted = False
        self.saves += 1
        self._play.counts.changed = False
        self._play.faults.changed = False
        self._store.save(self._keyed())

    def pairs(self) -> "Iterator[tuple[str, int]]":
        """Name and number of everything that is kept."""
        play = self._play
        yield "version", VERSION
        yield "starts", self._starts
        for setting in play.settings.all:
            yield "setting." + setting.name, setting.n
        for value in play.memory.values:
            if value.span == KEPT:
                yield "value." + value.name, value.n
        for names, prefix, numbers in self._tables():
            for i in range(len(names)):
                if numbers[i]:
                    yield prefix + names[i], numbers[i]
        faults = play.faults
        for at in range(faults.count):
            first = "fault." + str(at) + "."
            name = pack(faults.name(at))
            for i in range(len(WORDS)):
                yield first + WORDS[i], name[i]
            fields = faults.numbers(at)
            for i in range(len(FIELDS)):
                yield first + FIELDS[i], fields[i]

    def _keyed(self) -> "Iterator[tuple[Any, int]]":
        for name, n in self.pairs():
            yield self._store.key(name), n
        yield from self.unknown

    def _tables(self) -> "tuple[tuple[Any, str, Any], ...]":
        counts = self._play.counts
        score = self._play.score
        switches = self._play.switch_names
        steps = [str(i) for i in range(len(counts.scores))]
        return (
            (counts.names, "count.", counts.numbers),
            (score.names, "award.", score.times),
            (steps, "score_step.", counts.scores),
            (switches, "closures.", counts.closures),
            (switches, "unseen.", counts.unseen),
        )

    def _take_settings(self, found: "dict[Any, int]") -> None:
        for setting in self._play.settings.all:
            n = self._pop(found, "setting." + setting.name, None)
            if n is None:
                self.missing.append(setting.name)
            elif setting.least <= n <= setting.most:
                setting.n = n
            else:
                self.refused.append(setting.name)

    def _take_numbers(self, found: "dict[Any, int]") -> None:
        for value in self._play.memory.values:
            if value.span == KEPT:
                value.n = value.saved = self._pop(found, "value." + value.name, value.start)
        for names, prefix, numbers in self._tables():
            for i in range(len(names)):
                numbers[i] = self._pop(found, prefix + names[i], 0)

    def _take_faults(self, found: "dict[Any, int]") -> None:
        at = 0
        first = "fault.0."
        while self._store.key(first + FIELDS[0]) in found:
            name = unpack([self._pop(found, first + word, 0) for word in WORDS])
            detail, times, date, start, second, seen = [self._pop(found, first + f, 0) for f in FIELDS]
            self._play.faults.restore(name, (detail, times, date, start, second, seen))
            at += 1
            first = "fault." + str(at) + "."

    def _pop(self, found: "dict[Any, int]", name: str, usual: "Any") -> "Any":
        return found.pop(self._store.key(name), usual)


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
    from collections.abc import Iterator
    from typing import Any

    from firmware.play.playfield import Playfield
