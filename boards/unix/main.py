"""The firmware as a process of the unix MicroPython, spoken to over standard input and output.

    micropython boards/unix/main.py --game honey_flow [--pins LOG] [--at-once 32] [--kept FILE] [--files SUM]
        [--alone FILE]

The game is a name from `firmware/games` or a folder. `--at-once` says how many bytes to read at a
time, for an input that does not block. `--kept` is where settings and kept values outlast the process;
without it every run starts at the defaults, as a bench wants it. `--files` is what the SHA-256 of its
files (firmware.link.identity, no nonce) must be. With `--alone` the game plays by itself until a host takes
over, and hands do what FILE says (alone.py; an empty file: nothing). Whatever raises in this program, Ctrl-C
included, ends it with the pins off; the line must be raw, so that every byte value is data.
"""

import io
import sys

if __name__ == "__main__":
    sys.path.insert(0, (__file__.rpartition("/")[0] or ".") + "/../..")

from boards.unix.alone import Alone, Hands
from boards.unix.file_store import FileStore
from boards.unix.line import PATIENT_MS, WRITE_MS, Line
from boards.unix.pins import PinBoard
from boards.unix.pins import clock_ms as clock_ms
from boards.unix.self_test import UnixTestedBoard
from firmware.base.errors import UsageError
from firmware.board import Board
from firmware.console import Console
from firmware.devices import self_test
from firmware.link import identity
from firmware.link.device import Device
from firmware.link.machine import Machine
from firmware.play import rows

BURST = 32
USAGE = (
    "usage: micropython main.py --game NAME_OR_FOLDER [--pins LOG] [--at-once N] [--kept FILE] [--files SUM]"
    " [--alone FILE]"
)
PRINT_EXCEPTION = "print_exception"  # of sys: CPython has none
TURN_MS = 1
IDLE_MS = 100


class UnixMachine(Machine):
    """One game on simulated pins."""

    def __init__(self, game: str, pins: str, kept: str = "", files: str = "") -> None:
        self._package = _placed(game)
        __import__(self._package + ".game")
        self._game = sys.modules[self._package + ".game"]
        self.name = self._package.rpartition(".")[2]
        self.switches = len(self._game.WIRING.SWITCHES)
        self.settings = rows.names(self._game.SETTINGS)
        self._store = FileStore(kept, self.name) if kept else None
        self.pins: PinBoard | None = None
        self._log: PinLog | None = open(pins, "w") if pins else None  # noqa: SIM115 - open for life
        self._files = files
        self.unfit = self_test.describe(self_test.find_faults(self.subject()))
        self.alone: Alone | None = None

    def play_alone(self, file: str) -> None:
        """From now on, until a host takes over. Raises UsageError: what hands do cannot be read."""
        hands = Hands(file, self._game.WIRING)
        pins = self.board()
        self.alone = Alone(self.console(1, {}, pins), pins, hands)

    def playing(self) -> "Console | None":
        """The console that plays by itself."""
        return self.alone.console if self.alone else None

    def give_way(self) -> None:
        """A host takes over: what plays by itself ends."""
        if self.alone:
            self.alone.pins.all_off("a host took over")
            self.alone = None

    def subject(self) -> self_test.TestedBoard:
        """What the self-test at start looks at."""
        coils = rows.names(self._game.WIRING.COILS)
        told = bytes.fromhex(self._files)
        return UnixTestedBoard(PinBoard(self._game.WIRING, None), coils, told, lambda: self.identify(b""))

    def identify(self, nonce: "bytes | bytearray | memoryview") -> bytes:
        """SHA-256 over the nonce and this process's own sources."""
        return identity.files_digest(nonce, _folder("firmware"), _folder(self._package))

    def console(self, seed: int, settings: "dict[str, int]", board: Board) -> Console:
        """A new console with the kept values; what of them was lost is printed."""
        console = Console(self._game, board, seed=seed, settings=settings, store=self._store)
        for words in self._store.lost if self._store else ():
            sys.stderr.write("kept values: " + words + "\n")
        return console

    def board(self) -> PinBoard:
        """Fresh pins, all off; they stay off when the self-test found something."""
        self.pins = PinBoard(self._game.WIRING, self._log)
        if self.unfit:
            self.pins.all_off(self.unfit)
        return self.pins

    def explain(self, error: Exception) -> str:
        """With the file and line where it was raised."""
        return "it stopped at " + placed(error, self._package.replace(".", "/"))


def placed(error: BaseException, folder: str = "") -> str:
    """An error in one line: file, line, function, what it says; lines of the game in `folder` come first."""
    text = io.StringIO()
    print_exception: Callable[[BaseException, io.StringIO], None] = getattr(sys, PRINT_EXCEPTION)
    print_exception(error, text)
    lines = [line.strip() for line in text.getvalue().splitlines() if line.strip()]
    frames = [line.replace('"', "").split(", ") for line in lines[1:-1]]
    frames = [frame for frame in frames if len(frame) > 1]
    if not frames:
        return lines[-1]
    own = [frame for frame in frames if folder and ("/" + frame[0]).find("/" + folder + "/") >= 0]
    if not own or own[-1] is frames[-1]:
        return _place(frames[-1]) + ": " + lines[-1]
    return _place(own[-1]) + ": " + lines[-1] + " (raised at " + _place(frames[-1]) + ")"


def _place(frame: "list[str]") -> str:
    """`File a/b.py, line 3, in f` of a traceback as `b.py:3 in f`."""
    name = frame[0].rpartition("/")[2] + ":" + frame[1].rpartition(" ")[2]
    return " ".join([name] + frame[2:])


def _placed(game: str) -> str:
    """The package of the game; its folder's parent is put where imports look."""
    if "/" not in game:
        return "firmware.games." + game
    parent, _, name = game.rstrip("/").rpartition("/")
    sys.path.insert(0, parent or "/")
    return name


def _folder(package: str) -> str:
    path = sys.modules[package].__path__
    return path if isinstance(path, str) else path[0]


def serve(line: "HostLine", device: Device, machine: UnixMachine) -> None:
    """Bytes in, time on, for ever."""
    while True:
        if machine.alone:
            line.wait_ms = 0  # a host that only looks is never waited for
            machine.alone.turn()
        else:
            line.wait_ms = WRITE_MS if device.real_time else PATIENT_MS
        if line.ready(TURN_MS if device.real_time or machine.alone else IDLE_MS):
            _hear(line, device)
        device.tick(clock_ms())
        if machine.pins:
            machine.pins.tick(clock_ms())


def _hear(line: "HostLine", device: Device) -> None:
    """A frame's worth of bytes at most, then the clock is looked at again."""
    heard = 0
    while heard < BURST:
        n = line.read()
        now_ms = clock_ms()
        for i in range(n):
            device.take(line.held[i], now_ms)
        heard += n
        if heard < BURST and not line.ready(0):
            return


def arguments(words: "list[str]") -> "dict[str, str]":
    """What was given, by option. Raises UsageError."""
    given = {"--game": "", "--pins": "", "--at-once": "1", "--kept": "", "--files": "", "--alone": ""}
    for i in range(0, len(words), 2):
        if words[i] not in given or i + 1 == len(words):
            raise UsageError(USAGE)
        given[words[i]] = words[i + 1]
    if not given["--game"]:
        raise UsageError("which game? --game NAME_OR_FOLDER")
    files = given["--files"]
    if files and (len(files) != 64 or any(letter not in "0123456789abcdef" for letter in files)):
        raise UsageError(
            f"--files takes the 64 digits of a SHA-256, 0 to 9 and a to f; it was given '{files}'"
        )
    return given


def main() -> int:
    """Serve until the host is gone; the exit code."""
    device = None
    try:
        given = arguments(sys.argv[1:])
        machine = UnixMachine(given["--game"], given["--pins"], given["--kept"], given["--files"])
        if machine.unfit:
            sys.stderr.write("nothing will be energised: " + machine.unfit + "\n")
        if given["--alone"]:
            machine.play_alone(given["--alone"])
        line = Line(int(given["--at-once"]))
        device = Device(machine, line.write)
        serve(line, device, machine)
    except BaseException as error:
        reason = ended(error, device)
        sys.stderr.write((reason if device or isinstance(error, UsageError) else placed(error)) + "\n")
        return 0 if isinstance(error, OSError) else 1
    return 0


def ended(error: BaseException, device: "Device | None") -> str:
    """Whatever ended it, everything off, however often Ctrl-C is pressed meanwhile; the reason."""
    while True:
        try:
            reason = _named(error)
            if device:
                device.all_off(reason)
            return reason
        except KeyboardInterrupt:
            continue


def _named(error: BaseException) -> str:
    try:
        return type(error).__name__ + ": " + str(error)
    except MemoryError:
        return "MemoryError"


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from boards.unix.line import HostLine
    from boards.unix.pins import PinLog

if __name__ == "__main__":
    sys.exit(main())
