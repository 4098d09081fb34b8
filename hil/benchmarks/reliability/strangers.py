"""Row 18: a device that is not the requested one, or replays old answers, must always be INVALID."""

import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

from firmware.base.errors import LinkError
from firmware.link import frames
from firmware.link.machine import Machine
from hil.bench.targets import wire
from hil.bench.targets.damage import Damage, none
from hil.bench.targets.link import Port, open_port
from hil.bench.targets.linked import LinkTarget
from hil.benchmarks.reliability import MICROPYTHON, Result
from hil.benchmarks.reliability.bad_line import GAME, BadPort, Contact, plan, play
from hil.benchmarks.reliability.loop import LoopMachine, LoopPort, with_cached_files
from hil.games import Game, load
from hil.micropython import Spawned


class _Renamed(LoopMachine):
    """A device with the same files under another name."""

    def __init__(self, game: Game) -> None:
        super().__init__(game)
        self.name = "another_game"


class _Changed(LoopMachine):
    """A device with one changed byte in its files."""

    def __init__(self, game: Game, rng: Random) -> None:
        super().__init__(game)
        self._rng = rng

    def identify(self, nonce: bytes | bytearray | memoryview) -> bytes:
        files = self.game.identity_files()
        at = self._rng.randrange(len(files))
        path, content = files[at]
        place = self._rng.randrange(max(1, len(content)))
        byte = content[place] ^ 1 if content else 1
        other = content[:place] + bytes((byte,)) + content[place + 1 :]
        files = [*files[:at], (path, other), *files[at + 1 :]]
        return LoopMachine(_Given(self.game, files)).identify(nonce)


class _Given(Game):
    """A game with the given files in place of its own."""

    def __init__(self, game: Game, files: list[tuple[str, bytes]]) -> None:
        super().__init__(game.name, game.folder, game.package, game.module)
        object.__setattr__(self, "files", files)

    def identity_files(self) -> list[tuple[str, bytes]]:
        files: list[tuple[str, bytes]] = getattr(self, "files")  # noqa: B009 - frozen dataclass
        return files


class _OtherNonce(LoopMachine):
    """A device that answers another nonce."""

    def __init__(self, game: Game, rng: Random) -> None:
        super().__init__(game)
        self._rng = rng

    def identify(self, nonce: bytes | bytearray | memoryview) -> bytes:
        return super().identify(self._rng.randbytes(frames.NONCE))


class RecordingPort(LoopPort):
    """A port that records the frames of the device."""

    def __init__(self, machine: Machine) -> None:
        super().__init__(machine)
        self.recorded: list[bytes] = []

    def _hear(self, data: bytearray, end: int) -> None:
        self.recorded += [chunk + b"\0" for chunk in bytes(data[:end]).split(b"\0") if chunk]
        super()._hear(data, end)


class ReplayPort(LoopPort):
    """A port that replays recorded frames; with `greets` the device itself answers HELLO first."""

    def __init__(self, machine: Machine, recorded: list[bytes], greets: bool) -> None:
        super().__init__(machine)
        self._recorded = list(recorded)
        self._greets = greets
        self._greeted = False

    def write(self, data: bytes) -> None:
        """Answer each frame of `data` from the recording."""
        if self._greets and not self._greeted:
            super().write(data)
            self._recorded.pop(0)
        self._greeted = True
        for chunk in filter(None, data.split(b"\0")):
            self._answer(wire.unpack(chunk)[1])

    def _answer(self, kind: int) -> None:
        """Replay the recording up to the answer to a frame of this type."""
        last = {
            frames.HELLO: frames.WELCOME,
            frames.START: frames.STARTED,
            frames.ADVANCE: frames.DONE,
            frames.FINISH: frames.FINISHED,
        }.get(kind)
        while last and self._recorded and not (kind == frames.HELLO and self._greets):
            frame = self._recorded.pop(0)
            self._waiting += frame
            if wire.unpack(frame[:-1])[1] == last:
                return


def run(_row: int, count: int, seed: int, on: str) -> Iterator[Result]:
    """Try `count` wrong devices, each kind in turn."""
    rng = Random(seed)
    result = Result()
    game = with_cached_files(load(GAME))
    contacts = plan(rng, len(game.wiring.SWITCHES), 400)
    if on == MICROPYTHON:
        _processes(result, count, rng, game, contacts)
    else:
        _in_process(result, count, rng, game, contacts)
    yield result


def _in_process(result: Result, count: int, rng: Random, game: Game, contacts: list[Contact]) -> None:
    tape = RecordingPort(LoopMachine(game))
    play(LinkTarget.over(tape, game, clock=tape.clock), contacts)
    makers: list[tuple[str, Callable[[], LoopPort]]] = [
        ("another game", lambda: LoopPort(_Renamed(game))),
        ("another byte in its files", lambda: LoopPort(_Changed(game, rng))),
        ("another nonce answered", lambda: LoopPort(_OtherNonce(game, rng))),
        ("an old session replayed", lambda: ReplayPort(LoopMachine(game), tape.recorded, False)),
        (
            "a true greeting, then an old trace",
            lambda: ReplayPort(LoopMachine(game), tape.recorded, True),
        ),
    ]
    for turn in range(count):
        what, make = makers[turn % len(makers)]
        port = make()
        _expect_invalid(result, LinkTarget.over(port, game, clock=port.clock), contacts, what)
    port = LoopPort(LoopMachine(game))
    _expect_pass(result, LinkTarget.over(port, game, clock=port.clock), contacts)


def _expect_invalid(result: Result, target: LinkTarget, contacts: list[Contact], what: str) -> None:
    result.ran += 1
    try:
        play(target, contacts)
    except LinkError as error:
        result.count(f"{what}: {error.text}")
    else:
        result.failed(f"{what}: accepted")


def _expect_pass(result: Result, target: LinkTarget, contacts: list[Contact]) -> None:
    """The right device must be accepted, or the trials prove nothing."""
    try:
        play(target, contacts)
    except LinkError as error:
        result.failed(f"the right device was not accepted: {error}")


def _processes(result: Result, count: int, rng: Random, game: Game, contacts: list[Contact]) -> None:
    """MicroPython processes: one runs a changed copy of the game, one the right game behind a faulty port."""
    with (
        tempfile.TemporaryDirectory() as folder,
        _process(_changed_copy(game, Path(folder), rng)) as wrong,
        _process(game) as right,
    ):
        recorder = Recorder(right)
        play(LinkTarget.over(recorder, game), contacts)
        makers: list[tuple[str, Callable[[], LinkTarget]]] = [
            ("changed files", lambda: LinkTarget.over(wrong, game)),
            ("another nonce answered", lambda: LinkTarget.over(BadPort(right, _swap(rng), none), game)),
            ("an old session replayed", lambda: _replayed(game, recorder.recorded)),
        ]
        for turn in range(count):
            what, make = makers[turn % len(makers)]
            _expect_invalid(result, make(), contacts, what)
        _expect_pass(result, LinkTarget.over(right, game), contacts)


@contextmanager
def _process(game: Game) -> Iterator[Port]:
    spawned = Spawned(game)
    port = open_port(spawned.port)
    try:
        yield port
    finally:
        port.close()
        spawned.close()


def _changed_copy(game: Game, folder: Path, rng: Random) -> Game:
    copy = folder / game.name
    shutil.copytree(game.folder, copy, ignore=shutil.ignore_patterns("__pycache__", "host"))
    changed = rng.choice(sorted(copy.rglob("*.py")))
    changed.write_bytes(changed.read_bytes() + b"\n# another line\n")
    return Game(game.name, copy, game.name, game.module)


class Recorder(BadPort):
    """A port that records the frames that come through another one."""

    def __init__(self, port: Port) -> None:
        super().__init__(port, none, self._record)
        self._bytes = b""

    @property
    def recorded(self) -> list[bytes]:
        """Every whole frame so far, with its closing zero."""
        return [chunk + b"\0" for chunk in self._bytes.split(b"\0")[:-1] if chunk]

    def _record(self, data: bytes) -> bytes:
        self._bytes += data
        return data


def _swap(rng: Random) -> Damage:
    """Replaces the nonce in HELLO, correctly framed."""

    def apply(data: bytes) -> bytes:
        frames_in = [wire.unpack(chunk) for chunk in data.split(b"\0") if chunk]
        return b"".join(
            wire.pack(number, kind, rng.randbytes(frames.NONCE) + payload[frames.NONCE :])
            if kind == frames.HELLO
            else wire.pack(number, kind, payload)
            for number, kind, payload in frames_in
        )

    return apply


def _replayed(game: Game, recorded: list[bytes]) -> LinkTarget:
    port = ReplayPort(LoopMachine(game), recorded, greets=False)
    return LinkTarget.over(port, game, clock=port.clock)
