"""Rows 1 to 4: power cuts and damage by the thousand, for the store."""

from boards.unix.naive_store import NaiveStore
from boards.unix.nor import KINDS, TORN_BYTE, TORN_PAGE, Nor, PowerCut
from boards.unix.trials.tally import Tally
from firmware.base.chance import Stream
from firmware.devices.store.record_log import RecordLog

OWNER = 7
SECTORS = 4
ROOM = 512
KEYS = 10
RESTART_EVERY = 7  # saves between two starts in the history


def values(turn: int) -> "dict[int, int]":
    """The values of the n-th save, all of them different from those of the one before."""
    return {key * 97: turn * 1000 + key - (turn % 2) * 500000 for key in range(KEYS)}


def run(row: int, count: int, seed: int) -> Tally:
    """Rows 1 to 4 of the reliability table; `count` is the least number of trials."""
    if row == 1:
        return _cuts(count, seed, RecordLog)
    if row == 2:
        return _pairs(count, seed)
    if row == 3:
        return _cuts(count, seed, NaiveStore)
    return _damage(count, seed)


class History:
    """A store in use: saves, tidying and a restart now and then, each step of which may be cut."""

    def __init__(self, seed: int, kind: "Kind") -> None:
        self.nor = Nor(SECTORS, ROOM, Stream(seed, 1))
        self.turn = 0
        self._kind = kind
        self.store = kind(self.nor, OWNER)
        self.store.load()
        self.before = self.nor.image()
        self._known = (0, 0, 0, 0)

    def step(self, store: "AnyStore", turn: int) -> None:
        """What the console does between two balls."""
        store.save(values(turn))
        store.erase_ahead()

    def next(self) -> int:
        """One more save and its tidying, uncut; how many steps it took."""
        if self.turn % RESTART_EVERY == 0:
            self.store = self._kind(self.nor, OWNER)
            self.store.load()
        self.before = self.nor.image()
        self._known = _position(self.store)
        self.nor.arm(-1, 0)
        self.turn += 1
        self.step(self.store, self.turn)
        return self.nor.steps

    def again(self, cut_at: int, kind: int) -> "dict[int, int]":
        """Live through the last step once more from the image before it, with the power cut; what
        is loaded afterwards."""
        self.nor.restore(self.before)
        store = self.twin()
        self.nor.arm(cut_at, kind)
        try:
            self.step(store, self.turn)
        except PowerCut:
            pass
        self.nor.arm(-1, 0)
        return self.reload().load().values

    def twin(self) -> "AnyStore":
        """A store with the contents that `self.store` had before the last step."""
        store = self._kind(self.nor, OWNER)
        if isinstance(store, RecordLog):
            store.sequence, store.sector, store.end, store.erased = self._known
        return store

    def reload(self) -> "AnyStore":
        """A store as after switching on."""
        self.store_after = self._kind(self.nor, OWNER)
        return self.store_after


def _position(store: "AnyStore") -> "tuple[int, int, int, int]":
    if isinstance(store, RecordLog):
        return store.sequence, store.sector, store.end, store.erased
    return 0, 0, 0, 0


def _cuts(count: int, seed: int, kind: "Kind") -> Tally:
    """Every step of every save cut, in each way, until `count` cuts."""
    tally = Tally()
    history = History(seed, kind)
    while tally.ran < count:
        steps = history.next()
        after = history.nor.image()
        tally.count("saves")
        old = values(history.turn - 1) if history.turn > 1 else {}
        for cut_at in range(steps):
            for how in range(len(KINDS)):
                _cut(tally, history, cut_at, how, old)
        history.nor.restore(after)
    tally.count("programmed twice", history.nor.misuse)
    if history.nor.misuse:
        tally.failed("a byte was programmed twice without an erase")
    return tally


def _cut(tally: Tally, history: History, cut_at: int, how: int, old: "dict[int, int]") -> None:
    tally.ran += 1
    tally.count(KINDS[how])
    found = history.again(cut_at, how)
    where = "save " + str(history.turn) + ", cut at step " + str(cut_at) + ", " + KINDS[how]
    if found == values(history.turn):
        tally.count("new values")
    elif found == old:
        tally.count("old values")
    else:
        tally.failed(where + ": loaded " + str(found))
        return
    store = history.store_after
    follow = values(history.turn + 1)
    store.save(follow)
    if history.reload().load().values != follow:
        tally.failed(where + ": the next save did not hold")


def _pairs(count: int, seed: int) -> Tally:
    """Every cut of a save, then every cut of the recovery that follows: start, save, tidying."""
    tally = Tally()
    history = History(seed, RecordLog)
    while tally.ran < count:
        steps = history.next()
        after = history.nor.image()
        for first in range(steps):
            how = (TORN_BYTE, TORN_PAGE)[first % 2]
            _second_cuts(tally, history, first, how, count)
        history.nor.restore(after)
    return tally


def _second_cuts(tally: Tally, history: History, first: int, how: int, count: int) -> None:
    """Cut again at each step of what comes after the first cut."""
    history.again(first, how)
    wounded = history.nor.image()
    old = values(history.turn - 1) if history.turn > 1 else {}
    new = values(history.turn)
    follow = values(history.turn + 1)
    second = 0
    while tally.ran < count:
        history.nor.restore(wounded)
        store = history.reload()
        store.load()
        history.nor.arm(second, (second + first) % len(KINDS))
        try:
            history.step(store, history.turn + 1)
            break
        except PowerCut:
            pass
        history.nor.arm(-1, 0)
        tally.ran += 1
        where = "save " + str(history.turn) + ", cut at " + str(first) + ", then at " + str(second)
        found = history.reload().load().values
        if found not in (old, new, follow):
            tally.failed(where + ": loaded " + str(found))
        last = values(history.turn + 2)
        history.store_after.save(last)
        if history.reload().load().values != last:
            tally.failed(where + ": the next save did not hold")
        second += 1
    history.nor.arm(-1, 0)


def _damage(count: int, seed: int) -> Tally:
    """Every single bit of a store flipped, then `count` stores with sectors of noise."""
    tally = Tally()
    chance = Stream(seed, 2)
    for saves in (1, 3, 11):
        history = History(seed, RecordLog)
        for _ in range(saves):
            history.next()
        image = history.nor.image()
        for place in range(SECTORS * ROOM):
            for bit in range(8):
                history.nor.restore(image)
                history.nor.cells[place] ^= 1 << bit
                tally.count("bits flipped")
                _judge(tally, history, "bit " + str(bit) + " of byte " + str(place))
    history = History(seed, RecordLog)
    for _ in range(11):
        history.next()
    image = history.nor.image()
    goal = tally.ran + count
    while tally.ran < goal:
        history.nor.restore(image)
        hit = 1 + chance.below((1 << SECTORS) - 1)
        for sector in range(SECTORS):
            if hit >> sector & 1:
                for place in range(sector * ROOM, (sector + 1) * ROOM):
                    history.nor.cells[place] = chance.below(256)
        tally.count("stores with noise")
        _judge(tally, history, "noise in sectors " + str(hit))
    return tally


def _judge(tally: Tally, history: History, where: str) -> None:
    """The last values, or older ones or none and a word about it."""
    tally.ran += 1
    loaded = history.reload().load()
    if loaded.values == values(history.turn):
        tally.count("last values")
        return
    known = [values(turn) for turn in range(1, history.turn)]
    if loaded.values and loaded.values not in known:
        tally.failed(where + ": loaded " + str(loaded.values))
    elif not loaded.lost:
        tally.failed(where + ": older values and not a word")
    else:
        tally.count("older values, said so" if loaded.values else "start values, said so")


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Union

    AnyStore = Union[RecordLog, NaiveStore]
    Kind = Union[type[RecordLog], type[NaiveStore]]
