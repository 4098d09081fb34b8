"""What an event costs by its parts, in calls and bytecodes of this Python: the same every time."""

import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FrameType
from typing import TYPE_CHECKING

import firmware
from firmware.base.trace import EVENT, RECORD
from firmware.console import Console
from hil.benchmarks.contacts import Contacts
from hil.games import Game

if TYPE_CHECKING:
    from _typeshed import TraceFunction

ROOT = Path(firmware.__file__).parent
RECORDS = 1 << 16  # more than a script makes

# part, what it is; how the paths of its files in firmware begin, its functions whatever their file
PARTS = (
    ("trace", "records, and their hash", ("base/trace.py", "base/ring.py"), ()),
    ("lamps", "claims to one pattern a lamp", (), ("Claims.resolve", "Claims._winner", "Board.lamp")),
    (
        "show",
        "lamp claims and offers of the features that answered",
        ("play/claims.py", "play/offers.py"),
        ("show", "Steps._show"),
    ),
    (
        "pages",
        "display pages to chunks of cells",
        ("play/pages.py", "cabinet/scoreboard.py"),
        ("Board.text",),
    ),
    ("engine", "which transitions are enabled, and taking them", ("charts/",), ()),
    (
        "coils",
        "limits, reflexes, the queue, and the board",
        ("devices/coil", "devices/coin", "devices/limiter", "devices/native", "devices/reflexes", "board.py"),
        (),
    ),
    (
        "edge",
        "contacts, debounce, timers, the step around it all",
        ("steps.py", "console.py", "base/", "devices/", "play/switch_monitor.py", "play/counts.py", "pad.py"),
        (),
    ),
    ("actions", "what the rules do: points, values, windows, news", (), ()),
)


@dataclass
class Part:
    """One part's share of an event."""

    name: str
    what: str
    calls: float = 0
    bytecodes: float = 0


class Counts:
    """Calls and bytecodes by code object, of firmware and game, while the context lasts."""

    def __init__(self) -> None:
        self.calls: Counter[CodeType] = Counter()
        self.bytecodes: Counter[CodeType] = Counter()

    def __enter__(self) -> "Counts":
        sys.settrace(self._called)
        return self

    def __exit__(self, *_: object) -> None:
        sys.settrace(None)

    def _called(self, frame: FrameType, _event: str, _: object) -> "TraceFunction":
        frame.f_trace_opcodes = True
        frame.f_trace_lines = False
        self.calls[frame.f_code] += 1
        return self._within

    def _within(self, frame: FrameType, event: str, _: object) -> "TraceFunction":
        if event == "opcode":
            self.bytecodes[frame.f_code] += 1
        return self._within


def measure(game: Game, contacts: Contacts) -> list[Part]:
    """Play the contacts once."""
    console = Console(game.module, seed=contacts.seed, settings=contacts.settings, trace_capacity=RECORDS)
    changes = iter(contacts.changes)
    with Counts() as counts:
        for ms, switch, closed in changes:
            console.run_to(ms)
            if switch >= 0:
                console.contact(switch, closed)
    events = _events(console)
    parts = {name: Part(name, what) for name, what, _, _ in PARTS}
    for code, times in counts.calls.items():
        part = parts[part_of(code)]
        part.calls += times / events
        part.bytecodes += counts.bytecodes[code] / events
    return list(parts.values())


def part_of(code: CodeType) -> str:
    """The part that a function belongs to: by its name, else by its file, else the rules."""
    path = Path(code.co_filename)
    file = path.relative_to(ROOT).as_posix() if path.is_relative_to(ROOT) else ""
    for name, _, _, functions in PARTS:
        if code.co_qualname in functions or code.co_name in functions:
            return name
    for name, _, files, _ in PARTS:
        if file and file.startswith(files):
            return name
    return PARTS[-1][0]


def _events(console: Console) -> int:
    out = bytearray(RECORDS * RECORD)
    count = console.trace.take(out, 0, RECORDS)
    return sum(out[at + 4] == EVENT for at in range(0, count * RECORD, RECORD))
