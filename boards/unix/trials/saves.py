"""Row 11: a save is wanted whenever a coil goes on; it must wait until none is and no ball is in play.

The coils are watched by the commands alone, apart from the firmware's own limits.
"""

from boards.unix.trials import machines
from boards.unix.trials.balls import PulseRecorder
from boards.unix.trials.tally import Tally

PLAY_MS = 60_000
A_MACHINE = 40
LONGEST_S = 3_600  # a save that is put off for longer than any game takes was forgotten
HELD = 1 << 40
OFF = -1


class WatchedOutputs(PulseRecorder):
    """A PulseRecorder that requests a save with every coil, and follows which coils are on."""

    def __init__(self, coils: int) -> None:
        super().__init__(coils)
        self.wanted = 0
        self.console: Console | None = None
        self._ends = [OFF] * coils

    def pulse(self, coil: int, ms: int) -> None:
        """The coil is on for its time, and a save is requested."""
        super().pulse(coil, ms)
        self._on(coil, self._now() + ms)

    def hold(self, coil: int) -> None:
        """The coil is on until its release, and a save is requested."""
        self._on(coil, HELD)

    def release(self, coil: int) -> None:
        """The coil is off."""
        self._ends[coil] = OFF

    def on(self) -> "list[int]":
        """The coils that are on now."""
        now = self._now()
        return [coil for coil in range(len(self._ends)) if self._ends[coil] > now]

    def _on(self, coil: int, until: int) -> None:
        self._ends[coil] = until
        if self.console and self.console.persistence:
            self.wanted += 1
            self.console.persistence.save_wanted = True

    def _now(self) -> int:
        return self.console.now if self.console else 0


class WatchedStore:
    """A store that keeps nothing; at each save it checks the outputs and the console of `play`."""

    lost: "list[str]" = []

    def __init__(self, tally: Tally, where: str, outputs: WatchedOutputs) -> None:
        self.saves = 0
        self.wanted_at = -1
        self.play: Play | None = None
        self._tally = tally
        self._where = where
        self._outputs = outputs

    def key(self, name: str) -> str:
        """The name itself."""
        return name

    def load(self) -> "dict[str, int]":
        """Nothing was saved."""
        return {}

    def save(self, pairs: "Iterable[tuple[Key, int]]") -> None:
        """A save: no coil may be on and no ball in play."""
        self.saves += 1
        if not self.play:
            return
        console = self.play.console
        where = f"{self._where}, save {self.saves} at {console.now} ms"
        on = self._outputs.on()
        if on:
            self._tally.failed(f"{where}: coil {console.coil_names[on[0]]} is on")
        if console.play.free and not console.play.tilted:
            self._tally.failed(f"{where}: a ball is in play")
        if not sum(1 for _ in pairs):
            self._tally.failed(f"{where}: there is nothing in it")
        if self.wanted_at >= 0:
            self._tally.most("longest wait, s", (console.now - self.wanted_at) // 1000)
            self.wanted_at = -1


def run(_row: int, count: int, seed: int) -> Tally:
    """Random play until so many saves were wanted while a coil was on."""
    tally = Tally()
    machine = 0
    while tally.ran < count:
        _machine(tally, count, machines.GAMES[machine % len(machines.GAMES)], seed + machine)
        machine += 1
    return tally


def _machine(tally: Tally, count: int, name: str, seed: int) -> None:
    outputs = WatchedOutputs(len(machines.game(name).WIRING.COILS))
    store = WatchedStore(tally, f"{name}, seed {seed}", outputs)
    play = machines.play(name, seed, store=store, outputs=outputs)
    store.play = play
    outputs.console = play.console
    before = tally.ran
    for _ in range(A_MACHINE):
        wanted = outputs.wanted
        play.go(PLAY_MS)
        persistence = play.console.persistence
        if outputs.wanted > wanted and store.wanted_at < 0 and persistence and persistence.save_wanted:
            store.wanted_at = play.console.now
        tally.ran = before + outputs.wanted
        if tally.ran >= count:
            break
    if store.wanted_at >= 0 and (play.console.now - store.wanted_at) // 1000 > LONGEST_S:
        tally.failed(f"{name}, seed {seed}: a save wanted at {store.wanted_at} ms was never made")
    tally.count("saves made", store.saves)
    if not store.saves:
        tally.failed(f"{name}, seed {seed}: nothing was ever saved")


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

    from boards.unix.trials.play import Play
    from firmware.console import Console
    from firmware.play.interfaces import Key
