"""What is kept through power loss: settings, kept values, counts and the fault log, as named integers.

A store is any object with `load()` and `save(pairs)`:

    load() -> iterable of (name, number), the last whole save; nothing when there never was one.
    save(pairs) -> None; `pairs` is an iterable of (name, number) that is read once. All or nothing.
    damaged -> bool: whether `load` had to fall back on an older save or on nothing.

Names: `version`, `starts`, `setting.NAME`, `value.FEATURE.NAME`, `count.NAME`, `award.NAME`,
`score_step.N`, `closures.SWITCH`, `unseen.SWITCH`, `fault.N.NAME.FIELD`. Names nobody knows are kept.
"""

from firmware.play.memory import KEPT

VERSION = 1
FIELDS = ("detail", "times", "date", "start", "second", "seen")


class Keeper:
    """Loads what was kept into one machine, and gives the store what is to be kept.

    `unknown`: names in the save that this game does not have (kept for the next save); `missing`:
    settings that the save did not have; `refused`: settings saved out of range, now at their default.
    """

    def __init__(self, play: "Playfield", store: "Any") -> None:
        self.unknown: list[tuple[str, int]] = []
        self.missing: list[str] = []
        self.refused: list[str] = []
        self.wanted = False
        self.saves = 0
        self._play = play
        self._store = store
        self._starts = 0

    def load(self) -> None:
        """Take up the last save, and report what did not fit to the fault log."""
        found = {}
        for name, n in self._store.load():
            found[name] = n
        faults = self._play.faults
        if self._store.damaged:
            faults.report("save_damaged")
        if found:
            self._take(found)
            if found.get("version", 0) > VERSION:
                faults.report("save_is_newer", found["version"])
            if self.unknown:
                faults.report("save_unknown", len(self.unknown))
            if self.missing:
                faults.report("save_missing", len(self.missing))
            if self.refused:
                faults.report("save_refused", len(self.refused))
        self._starts = found.get("starts", 0) + 1
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
        self._store.save(self.pairs())

    def pairs(self) -> "Iterator[tuple[str, int]]":
        """Everything that is kept, one after another."""
        play = self._play
        yield "version", VERSION
        yield "starts", self._starts
        for setting in play.settings.all:
            yield "setting." + setting.name, setting.n
        for value in play.memory.values:
            if value.span == KEPT:
                yield "value." + value.name, value.n
        for name, number in self._numbers():
            if number:
                yield name, number
        faults = play.faults
        for at in range(faults.count):
            numbers = faults.numbers(at)
            for i in range(len(FIELDS)):
                yield "fault." + str(at + 10) + "." + faults.name(at) + "." + FIELDS[i], numbers[i]
        for pair in self.unknown:
            yield pair

    def _numbers(self) -> "Iterator[tuple[str, int]]":
        play = self._play
        counts = play.counts
        for i in range(len(counts.names)):
            yield "count." + counts.names[i], counts.numbers[i]
        for i in range(len(play.score.names)):
            yield "award." + play.score.names[i], play.score.times[i]
        for i in range(len(counts.scores)):
            yield "score_step." + str(i), counts.scores[i]
        for i in range(len(play.switch_names)):
            yield "closures." + play.switch_names[i], counts.closures[i]
        for i in range(len(play.switch_names)):
            yield "unseen." + play.switch_names[i], counts.unseen[i]

    def _take(self, found: "dict[str, int]") -> None:
        play = self._play
        counts = play.counts
        left = dict(found)
        left.pop("version", 0)
        left.pop("starts", 0)
        for setting in play.settings.all:
            n = left.pop("setting." + setting.name, None)
            if n is None:
                self.missing.append(setting.name)
            elif setting.least <= n <= setting.most:
                setting.n = n
            else:
                self.refused.append(setting.name)
        for value in play.memory.values:
            if value.span == KEPT:
                value.n = value.saved = left.pop("value." + value.name, value.start)
        for names, prefix, numbers in (
            (counts.names, "count.", counts.numbers),
            (play.score.names, "award.", play.score.times),
            ([str(i) for i in range(len(counts.scores))], "score_step.", counts.scores),
            (play.switch_names, "closures.", counts.closures),
            (play.switch_names, "unseen.", counts.unseen),
        ):
            for i in range(len(names)):
                numbers[i] = left.pop(prefix + names[i], 0)
        self._take_faults(left)
        self.unknown = sorted(left.items())

    def _take_faults(self, left: "dict[str, int]") -> None:
        for name in sorted(left):
            words = name.split(".")
            if words[0] == "fault" and len(words) == 4 and words[3] == FIELDS[0]:
                first = name[: -len(FIELDS[0])]
                numbers = [left.pop(first + field, 0) for field in FIELDS]
                self._play.faults.restore(words[2], tuple(numbers))


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import Any

    from firmware.play.playfield import Playfield
