"""A target whose switches are wired wrong: bouncing or stuck contacts, broken wires, shorted columns."""

import re
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from firmware.base.errors import LinkError, UsageError
from firmware.charts.suggest import did_you_mean
from hil.bench.targets.target import InspectedTarget, PoweredTarget, Target
from hil.game_tables import SwitchRow

FORMS = (
    "'SWITCH bounces 8 ms', 'SWITCH stuck closed', 'SWITCH stuck open', 'SWITCH broken', "
    "'column 2 broken', 'row 3 broken', 'columns 2 and 3 shorted'"
)
LONGEST_BOUNCE_MS = 200
_SWITCH = re.compile(r"(\S+) (?:bounces (\d+) ms|(stuck closed|stuck open|broken))")
_MATRIX = re.compile(r"(column|row) (\d+) broken|columns (\d+) and (\d+) shorted")


class Wrong(NamedTuple):
    """What is wrong with switches, by their places in the wiring.

    `fixed` never change: closed or open; `bounces` how long (ms) each change takes to settle; `shorted` pairs
    are read closed when either is.
    """

    words: str
    fixed: dict[int, bool]
    bounces: dict[int, int]
    shorted: dict[int, int]


def read(given: Sequence[str], rows: Sequence[SwitchRow]) -> Wrong:
    """Read faults, each in one of FORMS. Raises UsageError."""
    wrong = Wrong(", ".join(" ".join(text.split()) for text in given), {}, {}, {})
    for text in given:
        words = " ".join(text.split())
        if match := _MATRIX.fullmatch(words):
            _matrix(wrong, match, rows, words)
        elif match := _SWITCH.fullmatch(words):
            _switch(wrong, match, rows)
        else:
            raise UsageError(f"'{words}' is no fault of a switch; faults are {FORMS}")
    return wrong


def _switch(wrong: Wrong, match: "re.Match[str]", rows: Sequence[SwitchRow]) -> None:
    name, bounce, fault = match.groups()
    names = [row.name for row in rows]
    if name not in names:
        raise UsageError(f"there is no switch '{name}'{did_you_mean(name, names)}")
    at = names.index(name)
    if not bounce:
        wrong.fixed[at] = fault == "stuck closed"
    elif 0 < int(bounce) <= LONGEST_BOUNCE_MS:
        wrong.bounces[at] = int(bounce)
    else:
        raise UsageError(f"a switch bounces for 1 to {LONGEST_BOUNCE_MS} ms, not {bounce}")


def _matrix(wrong: Wrong, match: "re.Match[str]", rows: Sequence[SwitchRow], words: str) -> None:
    line, number, first, second = match.groups()
    matrix = [(at, row) for at, row in enumerate(rows) if not row.is_direct]
    if line:
        hit = [at for at, row in matrix if (row.column if line == "column" else row.row) == int(number)]
        wrong.fixed.update(dict.fromkeys(hit, False))
    else:
        places = {(row.row, row.column): at for at, row in matrix}
        hit = [at for at, row in matrix if row.column in (int(first), int(second))]
        for (row, column), at in places.items():
            other = places.get((row, int(second)))
            if column == int(first) and other is not None and other != at:
                wrong.shorted.update({at: other, other: at})
    if not hit or (first and not wrong.shorted):
        raise UsageError(
            f"'{words}' touches no two switches of this game" if first else f"'{words}': no such {line}"
        )


class FaultyWires:
    """`inner` behind faulty wires. A bounce is a change each millisecond, until it settles."""

    def __init__(self, inner: Target, wrong: Wrong) -> None:
        self.name = f"{inner.name} with {wrong.words}"
        self._inner = inner
        self._wrong = wrong
        self._now = 0
        self._closed: dict[int, bool] = {}  # as the mechanism has them
        self._due: list[tuple[int, int, bool]] = []  # bounces to come: ms, switch, closed

    def start(self, seed: int, settings: dict[str, int]) -> None:
        """Start a fresh console at time 0; stuck contacts are closed from the beginning."""
        self._now = 0
        self._due.clear()
        self._inner.start(seed, settings)
        for switch, closed in self._wrong.fixed.items():
            if closed:
                self._inner.contact(switch, True)

    def keep(self, file: Path | None) -> None:
        """As the target itself. Raises LinkError when its power cannot be switched."""
        if not isinstance(self._inner, PoweredTarget):
            raise LinkError(f"the bench cannot switch the power of '{self.name}'")
        self._inner.keep(file)

    def contact(self, switch: int, closed: bool) -> None:
        """Change a contact of the mechanism at the present time; the machine reads what the wires let it."""
        self._closed[switch] = closed
        self._pass_on(switch, self._read(switch))
        other = self._wrong.shorted.get(switch)
        if other is not None:
            self._pass_on(other, self._read(other))

    def _read(self, switch: int) -> bool:
        other = self._wrong.shorted.get(switch, switch)
        return self._closed.get(switch, False) or self._closed.get(other, False)

    def _pass_on(self, switch: int, closed: bool) -> None:
        if switch in self._wrong.fixed:
            return
        self._inner.contact(switch, closed)
        bounce = self._wrong.bounces.get(switch, 0)
        if bounce:
            last = bounce + bounce % 2  # the last one of an even count is the level itself
            self._due = [due for due in self._due if due[1] != switch]
            self._due += [(self._now + at, switch, closed == (at % 2 == 0)) for at in range(1, last + 1)]
            self._due.sort()

    def advance(self, until_ms: int) -> int:
        """Run to `until_ms`, to the next bounce, or to just after a COIL record; returns the time reached."""
        self._bounce()
        goal = min(until_ms, self._due[0][0]) if self._due else until_ms
        self._now = self._inner.advance(goal)
        self._bounce()
        return self._now

    def _bounce(self) -> None:
        while self._due and self._due[0][0] <= self._now:
            _, switch, closed = self._due.pop(0)
            self._inner.contact(switch, closed)

    def records(self) -> bytes:
        """The records since the last call."""
        return self._inner.records()

    def windows(self) -> list[int]:
        """As the target itself. Raises LinkError when it cannot be asked."""
        return self._asked().windows()

    def values(self) -> list[int]:
        """As the target itself. Raises LinkError when it cannot be asked."""
        return self._asked().values()

    def _asked(self) -> InspectedTarget:
        if not isinstance(self._inner, InspectedTarget):
            raise LinkError(f"windows and values cannot be read on '{self.name}'")
        return self._inner

    def finish(self) -> bytes:
        """The machine's own digest of its trace."""
        return self._inner.finish()

    def close(self) -> None:
        """Leave the machine with everything off."""
        self._inner.close()
