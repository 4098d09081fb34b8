"""A serial line that damages and delays frames, by rates and a seed: the same damage to the same frames."""

import re
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING

from firmware.base.errors import UsageError
from hil.bench.targets import damage
from hil.bench.targets.damage import Damage, bytes_of

if TYPE_CHECKING:
    from hil.bench.targets.link import Port

FORM = "flips 0.0001, drops 0.001, doubles 0.001, delays 20 ms, seed 7"
MOST_MS = 1000
_PART = re.compile(r"(flips|drops|doubles) (\d*\.?\d+(?:e-\d+)?)|delays (\d+) ms|seed (\d+)")


@dataclass(frozen=True)
class BadLine:
    """The chance of a flip (each bit), of a loss or a doubling (each byte), and the longest delay in ms."""

    flips: float = 0.0
    drops: float = 0.0
    doubles: float = 0.0
    delays: int = 0
    seed: int = 1

    @classmethod
    def read(cls, text: str) -> "BadLine":
        """Read FORM, any of its parts, in any order. Raises UsageError."""
        rates: dict[str, float] = {}
        numbers: dict[str, int] = {}
        for part in text.split(","):
            match = _PART.fullmatch(" ".join(part.split()))
            if match is None:
                raise UsageError(f"'{part.strip()}' is no damage of a line; write parts of '{FORM}'")
            word = part.split()[0]
            if word in rates or word in numbers:
                raise UsageError(f"'{word}' is given twice in the damage of a line")
            number = next(group for group in match.groups()[1:] if group)
            if word in ("seed", "delays"):
                numbers[word] = _number(word, number)
            else:
                rates[word] = _rate(word, number)
        flips, drops, doubles = (rates.get(word, 0.0) for word in ("flips", "drops", "doubles"))
        return cls(flips, drops, doubles, numbers.get("delays", 0), numbers.get("seed", 1))

    def port(self, port: "Port", turn: int, clock: Callable[[], float] = time.monotonic) -> "BadPort":
        """`port` behind this line; `turn` numbers the lines of one run, each of which has other damage."""
        rng = Random(f"{self.seed}/{turn}")
        return BadPort(
            port, self._damage(rng), self._damage(rng), lambda: rng.uniform(0, self.delays / 1000), clock
        )

    def _damage(self, rng: Random) -> Damage:
        kinds: list[Damage] = []
        if self.flips:
            kinds.append(damage.flips(rng, self.flips))
        kinds += [
            bytes_of(kind, rng, rate)
            for kind, rate in (("lost", self.drops), ("doubled", self.doubles))
            if rate
        ]

        def apply(data: bytes) -> bytes:
            for kind in kinds:
                data = kind(data)
            return data

        return apply


def _number(word: str, text: str) -> int:
    """A delay up to MOST_MS, or a seed. Raises UsageError."""
    if word == "delays" and not 0 < int(text) <= MOST_MS:
        raise UsageError(f"a line delays by 1 to {MOST_MS} ms, not {text}")
    return int(text)


def _rate(word: str, text: str) -> float:
    """A chance. Raises UsageError."""
    if not 0 < float(text) < 1:
        raise UsageError(f"the rate of {word} is a chance above 0 and below 1, not {text}")
    return float(text)


class BadPort:
    """A serial port that damages whole frames in both directions, and lets those to the host come late.

    Damage falls on frames, not on what happens to be read at once, so a seed gives the same one again.
    """

    def __init__(
        self,
        port: "Port",
        to_device: Damage,
        to_host: Damage,
        delay_s: Callable[[], float],
        clock: Callable[[], float],
    ) -> None:
        self._port = port
        self._to_device = to_device
        self._to_host = to_host
        self._delay_s = delay_s
        self._clock = clock
        self._part = b""  # of a frame that has not come whole
        self._coming: deque[tuple[float, bytes]] = deque()
        self._last = 0.0

    @property
    def in_waiting(self) -> int:
        """How many bytes, before damage, are waiting."""
        return self._port.in_waiting

    def read(self, size: int, /) -> bytes:
        """What has come, after damage and delay; a little more than `size` when a byte was doubled."""
        self._take(self._port.read(size))
        now = self._clock()
        come = b""
        while self._coming and self._coming[0][0] <= now:
            come += self._coming.popleft()[1]
        return come

    def write(self, data: bytes, /) -> None:
        """Send the frames, after damage."""
        *whole, rest = data.split(b"\0")
        sent = b"".join(self._to_device(frame + b"\0") for frame in whole) + rest
        if sent:
            self._port.write(sent)

    def close(self) -> None:
        """Close the port behind it."""
        self._port.close()

    def _take(self, data: bytes) -> None:
        *whole, self._part = (self._part + data).split(b"\0")
        for frame in whole:
            self._last = max(self._last, self._clock() + self._delay_s())  # frames stay in order
            self._coming.append((self._last, self._to_host(frame + b"\0")))
