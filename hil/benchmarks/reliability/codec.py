"""Frames alone, at high counts: what a receiver accepts from a damaged stretch of line.

A receiver may accept the sent frames, in their order, up to some point. Anything else is a failure: a
frame that was not sent, one out of order, one after a gap.
"""

import subprocess
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import islice
from random import Random
from typing import IO, cast

from boards.unix import frame_receiver
from firmware.link import frames
from firmware.link.frames import Receiver
from hil import micropython
from hil.bench.targets import wire
from hil.bench.targets.damage import Damage
from hil.benchmarks.reliability import MICROPYTHON, Result

STRETCH = 4  # frames in one stretch of line; their damage may run into each other
BATCH = 200

Frame = tuple[int, int, bytes]
Received = tuple[list[Frame], bool]
Line = tuple[bytes, int]


def to_device(rng: Random) -> list[Frame]:
    """Random frames as a host sends them, with payloads of every length in use."""
    first = rng.randrange(256)
    return [
        ((first + i) & 255, rng.choice((3, 4, 5, 5, 5, 7)), rng.randbytes(rng.choice((0, 3, 4, 5, 17))))
        for i in range(STRETCH)
    ]


def to_host(rng: Random) -> list[Frame]:
    """Random frames as a device sends them: records, and DONE between."""
    first = rng.randrange(256)
    found = []
    for i in range(STRETCH):
        kind = frames.RECORDS if i % 2 else frames.DONE
        records = rng.choice((1, 1, 2, 3, 20)) if i % 2 else 1
        found.append(((first + i) & 255, kind, b"".join(_record(rng) for _ in range(records))))
    return found


def _record(rng: Random) -> bytes:
    ms = rng.randrange(1 << 20).to_bytes(4, "little")
    return ms + bytes((rng.randrange(12), 0, rng.randrange(64), 0, 10, 0, 0, 0))


def device_receiver(lines: Iterable[Line]) -> Iterator[Received]:
    """Yields what the firmware's receiver accepts of each line, in this process."""
    receiver = Receiver()
    for line, first in lines:
        accepted, complained = frame_receiver.receive(receiver, line, first)
        yield [(body[0], body[1], body[2:]) for body in accepted], complained == 1


def host_receiver(lines: Iterable[Line]) -> Iterator[Received]:
    """Yields what the host's receiver accepts of each line."""
    for line, first in lines:
        yield _host_hears(line, first)


def _host_hears(line: bytes, first: int) -> Received:
    accepted: list[Frame] = []
    *chunks, _ = line.split(b"\0")
    for chunk in filter(None, chunks):
        try:
            frame = wire.unpack(chunk)
        except wire.DamagedFrame:
            return accepted, True
        if frame[0] != (first + len(accepted)) & 255:
            return accepted, True
        accepted.append(frame)
    return accepted, False


def micropython_receiver(lines: Iterable[Line]) -> Iterator[Received]:
    """Yields what the firmware's receiver accepts of each line, under MicroPython."""
    process = subprocess.Popen(
        [micropython.find(), str(micropython.MAIN.with_name("frame_receiver.py"))],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env=micropython.environment(),
    )
    asked = cast(IO[bytes], process.stdin)
    told = cast(IO[bytes], process.stdout)
    source = iter(lines)
    while batch := list(islice(source, BATCH)):
        for line, first in batch:
            asked.write(len(line).to_bytes(2, "little") + bytes((first,)) + line)
        asked.flush()
        for _ in batch:
            count, complained = told.read(2)
            bodies = [told.read(int.from_bytes(told.read(2), "little")) for _ in range(count)]
            yield [(body[0], body[1], body[2:]) for body in bodies], complained == 1
    asked.close()
    process.wait()


def run(count: int, rng: Random, damages: Sequence[tuple[str, Damage]], on: str) -> Result:
    """`count` damaged frames, half of them in each direction, the kinds of damage in turn."""
    result = Result()
    device = micropython_receiver if on == MICROPYTHON else device_receiver
    _count_verdicts(result, count - count // 2, to_device, device, rng, damages)
    _count_verdicts(result, count // 2, to_host, host_receiver, rng, damages)
    return result


def _count_verdicts(
    result: Result,
    count: int,
    frames_of: Callable[[Random], list[Frame]],
    receiver_of: Callable[[Iterable[Line]], Iterator[Received]],
    rng: Random,
    damages: Sequence[tuple[str, Damage]],
) -> None:
    goal = result.ran + count
    waiting: list[tuple[str, list[Frame], bytes]] = []

    def lines() -> Iterator[Line]:
        turn = 0
        while result.ran < goal:
            what, damage = damages[turn % len(damages)]
            turn += 1
            sent = frames_of(rng)
            packed = [wire.pack(*frame) for frame in sent]
            bad = damage(b"".join(packed))
            result.ran += _damaged(packed, bad)
            waiting.append((what, sent, bad))
            yield bad, sent[0][0]

    for received in receiver_of(lines()):
        what, sent, bad = waiting.pop(0)
        _judge(result, sent, received, f"{what}: {sent} became {bad.hex()}")


def _judge(result: Result, sent: list[Frame], received: Received, what: str) -> None:
    accepted, complained = received
    if accepted != sent[: len(accepted)]:
        result.failed(f"{what} and was taken for {accepted}")
    elif complained:
        result.count("noticed at once")
    elif len(accepted) < len(sent):
        result.count("noticed when the wait runs out")
    else:
        result.count("harmless")


def _damaged(packed: list[bytes], bad: bytes) -> int:
    """How many frames of the stretch are not intact at their place, counted from both ends."""
    whole = at = 0
    for frame in packed:
        if bad[at : at + len(frame)] != frame:
            break
        whole += 1
        at += len(frame)
    end = len(bad)
    for frame in reversed(packed[whole:]):
        if end - len(frame) < at or bad[end - len(frame) : end] != frame:
            break
        whole += 1
        end -= len(frame)
    return len(packed) - whole
