"""Row 13, what a board parses itself: frames that make no sense, and settings that do not fit.

Each frame has a right checksum, or is cut short; the device is idle, greeted or in a run. It must fall
silent or say FAULT in one sentence, drive nothing, and answer the next HELLO.
"""

from boards.unix.trials import machines
from boards.unix.trials.loopback_link import LoopbackLink
from boards.unix.trials.tally import Tally
from firmware.base.chance import Stream
from firmware.board import Board
from firmware.console import Console
from firmware.link import frames
from firmware.link.machine import Machine
from firmware.play import rows

GAME = "kit_room"
SETTINGS = 15  # per cent of the trials
SIZES = (0, 1, 2, 3, 4, 5, 8, 16, 17, 20)
VALUES = (-1, 0, 1, 2, 11, 1000, 1 << 20, -(1 << 29), (1 << 29) - 1)
MARK = 0  # ends a frame


class CountingOutputs(Board):
    """Outputs that count what was energised."""

    def __init__(self) -> None:
        self.energised = 0

    def enable(self, on: bool) -> None:
        """Count an enable."""
        self.energised += 1 if on else 0

    def pulse(self, coil: int, ms: int) -> None:
        """Count a pulse."""
        self.energised += 1

    def hold(self, coil: int) -> None:
        """Count a hold."""
        self.energised += 1


class SmallMachine(Machine):
    """A small game. Its console is made once; in a run that only hears garbage it stays as it is."""

    def __init__(self) -> None:
        self.game = machines.game(GAME)
        self.name = GAME
        self.switches = len(self.game.WIRING.SWITCHES)
        self.settings = rows.names(self.game.SETTINGS)
        self.outputs = CountingOutputs()
        self._kept: Console | None = None

    def identify(self, nonce: "bytes | bytearray | memoryview") -> bytes:
        """Zeros: this trial compares no files."""
        return bytes(32)

    def board(self) -> Board:
        """The counting outputs."""
        return self.outputs

    def console(self, seed: int, settings: "dict[str, int]", board: Board) -> Console:
        """The one console, or a fresh one when there are settings."""
        if settings or not self._kept:
            console = Console(self.game, board, seed=seed, settings=settings)
            if settings:
                return console
            self._kept = console
        return self._kept


def run(_row: int, count: int, seed: int) -> Tally:
    """`count` malformed things."""
    tally = Tally()
    chance = Stream(seed, 13)
    machine = SmallMachine()
    ends = LoopbackLink(machine)
    while tally.ran < count:
        tally.ran += 1
        if chance.below(100) < SETTINGS:
            _setting(tally, ends, chance)
        else:
            _frame(tally, ends, chance)
        _still_there(tally, ends, machine.outputs)
    return tally


def _frame(tally: Tally, ends: LoopbackLink, chance: Stream) -> None:
    state = ("idle", "greeted", "in a run")[chance.below(3)]
    if state == "idle":
        ends.send(frames.STOP)
    else:
        ends.hello()
    if state == "in a run":
        ends.start(frames.LOCK_STEP)
    ends.got = []
    kind = chance.below(256)
    data = ends.wire(kind, bytes([chance.below(256) for _ in range(SIZES[chance.below(len(SIZES))])]))
    if not chance.below(4):
        data = data[: chance.below(len(data))] + bytes([MARK])
    for byte in data:
        ends.device.take(byte, ends.now)
    what = f"{state}, {' '.join([f'{byte:02x}' for byte in data])}"
    said = ends.fault()
    if said:
        tally.count("frames refused")
        _clear(tally, what, said)
    else:
        tally.count("frames that mean something" if ends.got else "frames not answered")
    if ends.device.real_time:  # it asked for a run in real time: a frame that means something
        ends.device.all_off("the trial ended")


def _setting(tally: Tally, ends: LoopbackLink, chance: Stream) -> None:
    table = machines.game(GAME).SETTINGS
    place = chance.below(len(table) + 3)
    value = VALUES[chance.below(len(VALUES))]
    ends.hello()
    ends.got = []
    ends.send(frames.SETTING, bytes([place]) + (value & 0xFFFFFFFF).to_bytes(4, "little"))
    ends.start(frames.LOCK_STEP)
    name, fits = "", False
    if place < len(table):
        name, _default, least, most, _unit, _meaning = table[place]
        fits = least <= value <= most
    said = ends.fault()
    what = f"setting {place} given {value}"
    tally.count("settings that are still right" if fits else "settings refused")
    if bool(said) == fits:
        tally.failed(f"{what}: '{said}'")
    elif said:
        _clear(tally, what, said)
        if name not in said:
            tally.failed(f"{what}: it is not named: '{said}'")


def _clear(tally: Tally, what: str, said: str) -> None:
    """One sentence."""
    if "\n" in said or "Traceback" in said or len(said) > frames.WORDS_MOST:
        tally.failed(f"{what}: not one sentence: '{said}'")


def _still_there(tally: Tally, ends: LoopbackLink, outputs: CountingOutputs) -> None:
    ends.got = []
    ends.hello()
    if ends.kinds() != [frames.WELCOME]:
        tally.failed(f"trial {tally.ran}: the device no longer answers")
    if outputs.energised:
        tally.failed(f"trial {tally.ran}: something was energised")
        outputs.energised = 0
