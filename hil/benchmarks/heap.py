"""Heap of a game on a 32-bit MicroPython as if all were frozen: objects alone, no code, no constants.

Modules are loaded there from .mpy files, so their code, constants and names lie on the heap. What that takes
is measured beside it and subtracted: each module is loaded once more within a function that is never called,
and names are known to MicroPython before anything counts.
"""

import ast
import tempfile
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from statistics import median

from firmware.play import rows
from hil.benchmarks import whole_run
from hil.benchmarks.contacts import END, Contacts
from hil.benchmarks.wasm import build32
from hil.build import mpy, staging
from hil.checks.stack.compiled import Reader
from hil.games import Game

STEPS_A_TURN = 100
PAGES_MS = (2_000, 4_000, 4_100, 4_500)  # door open, pad.open closed, open again, the pages stand
PLAYER = "whole_run"
NOTHING = tuple(f"nothing_{i}" for i in range(7))
STORE = b"""from firmware.devices.store.key import key_of

class Store:
    lost = ()

    def key(self, name):
        return key_of(name)

    def load(self):
        return {}

    def save(self, pairs):
        for _ in pairs:
            pass
"""
BLOCK = 16  # bytes of heap that the collector keeps account of
POINTER = 4
# MicroPython keeps the table of a module's objects right behind that of its names. A loaded module without
# objects points at whatever comes next on the heap, and the collector does not let that go.
AN_OBJECT = '\n_ = b"."\n'


@dataclass(frozen=True)
class Heap:
    """Bytes of heap after a collection, firmware and game alone.

    `imported`: modules, classes and functions; `start`: with a console that is ready; `after`: when the
    contacts were played; `second`: with a second console in the first one's place; `pages`: with the
    operator's pages open (0 for a game without a pad); `left`: with a console made after that.
    """

    imported: int
    start: int
    after: int
    second: int
    pages: int
    left: int
    digest: str

    @property
    def most(self) -> int:
        """The largest of the five sizes measured with a console, in bytes."""
        return max(self.start, self.after, self.second, self.pages, self.left)


def measure(game: Game, contacts: Contacts) -> Heap:
    """Play the contacts there. Raises UsageError when a tool is missing."""
    build32.fetched()
    with tempfile.TemporaryDirectory() as folder:
        files = Path(folder) / "files"
        bodies = _lay_out(game, files)
        (files / "contacts.txt").write_text(contacts.lines())
        (files / "pages.txt").write_text(_pages(game))
        plan = Path(folder) / "plan.py"
        plan.write_text("\n\n".join([*_code(len(bodies)), *_run(game, contacts)]))
        return _read(build32.run(files, plan), bodies)


def _lay_out(game: Game, folder: Path) -> dict[str, int]:
    """Every module of firmware and game, and twice as if it ran nothing; the `body_size` of each."""
    sources = staging.engine_sources("pico_matrix") | staging.game_sources(game)
    sources = {path: data for path, data in sources.items() if not path.startswith("boards/")}
    sources["packed_charts.py"] = staging.written(game)["packed_charts.py"]
    sources[f"{PLAYER}.py"] = Path(whole_run.__file__).read_bytes()
    sources |= {f"{name}.py": b"" for name in NOTHING}
    sources["store.py"] = STORE
    bodies: dict[str, int] = {}
    for number, (path, data) in enumerate(sorted(sources.items())):
        text = data.decode() + AN_OBJECT
        _write(folder / f"{path.removesuffix('.py')}.mpy", text)
        for kind in ("c", "d"):
            made = _write(folder / "code" / f"{kind}{number}.mpy", idle(text))
        bodies[path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")] = body_size(made)
    return bodies


def _write(path: Path, text: str) -> bytes:
    path.parent.mkdir(parents=True, exist_ok=True)
    data = mpy.compiled_text(text, path.name)
    path.write_bytes(data)
    return data


def idle(text: str) -> str:
    """A module that holds on to the code of `text` and runs none of it.

    The body of a class sees names as a module does: functions in it look them up as globals.
    """
    body = ast.parse(text).body or [ast.Pass()]
    inside = ast.ClassDef("_Body", [], [], body, [])
    around = ast.parse("def _never(): pass")
    for function in around.body:
        assert isinstance(function, ast.FunctionDef)
        function.body = [inside]
    return ast.unparse(ast.fix_missing_locations(around))


def body_size(data: bytes) -> int:
    """Heap of the body itself in a module made by `idle`; that of a module goes when it has run."""
    body = Reader(data).code.inner[0].inner[0]
    return _blocks(body.size) + _blocks(POINTER * len(body.inner))


def _blocks(size: int) -> int:
    return (size + BLOCK - 1) // BLOCK * BLOCK


def _code(count: int) -> list[str]:
    """Make every name known, then print what the code of each module takes."""
    load = "keep[{0}] = __import__('d{0}')\ndel sys.modules['d{0}']\ngc.collect()"
    each = [part for i in range(count) for part in (load.format(i), "print('code', gc.mem_alloc())")]
    return [
        "import gc, sys\nsys.path.insert(0, '/board/code')",
        *[f"__import__('c{i}')\ndel sys.modules['c{i}']\ngc.collect()" for i in range(count)],
        f"keep = [None] * {count}\nsys.path[0] = '/board'\nsys.path.append('/board/code')\ngc.collect()",
        "print('code', gc.mem_alloc())",
        *each,
        "keep = None\ngc.collect()",
        "print('base', gc.mem_alloc())",
    ]


def _run(game: Game, contacts: Contacts) -> list[str]:
    """From nothing to a machine that plays, twice, with its pages open and shut."""
    places = {name: contacts.settings[name] for name in sorted(contacts.settings)}
    turns = len(contacts.changes) // STEPS_A_TURN + 1
    play = [f"player.heap_use(run, {STEPS_A_TURN})", "gc.collect()"] * turns
    told = "print({0!r}, gc.mem_alloc() - bench)\nprint('loaded', *[n for n in sys.modules])"

    def tell(name: str) -> str:
        return told.format(name)

    fresh = "console = Console(game, Board(), {}, {}, 0, RECORDS, Store(), packed)\ngc.collect()"
    return [
        f"bench = 0\n__import__('{game.package}.game')\ngame = sys.modules['{game.package}.game']",
        "packed = __import__('packed_charts')\nfrom firmware.console import Console\n"
        "from firmware.board import Board\nfrom firmware.link.device import Device\n"
        "from firmware.link.machine import RECORDS\nfrom store import Store\ngc.collect()",
        tell("imported"),
        "line = Device(None, lambda data, end: None)",
        fresh.format(contacts.seed, places),
        tell("start"),
        f"before = gc.mem_alloc()\nplayer = __import__('{PLAYER}')",
        "changes = player.read('/board/contacts.txt')\ngc.collect()",
        "run = player.Run(console, changes)\ngc.collect()",
        "bench = gc.mem_alloc() - before",
        *play,
        tell("after"),
        "print('digest', run.digest())\nrun = console = None\ngc.collect()",
        fresh.format(contacts.seed, places) + "\nrun = player.Run(console, changes)\ngc.collect()",
        tell("second"),
        "run = console = None\ngc.collect()",
        "changes = player.read('/board/pages.txt')\n" + fresh.format(1, {}),
        "run = player.Run(console, changes)\nplayer.heap_use(run)\ngc.collect()",
        tell("pages"),
        "run = console = None\ngc.collect()",
        fresh.format(1, {}) + "\nrun = player.Run(console, changes)\ngc.collect()",
        tell("left"),
    ]


def _pages(game: Game) -> str:
    """Contacts that open the operator's pages; none for a game without a pad."""
    names = rows.names(game.wiring.SWITCHES)
    if "pad.open" not in names or "door" not in names:
        return f"0 {END} 0\n"
    moves = (names.index("door"), 1), (names.index("pad.open"), 1), (names.index("pad.open"), 0), (END, 0)
    return "".join(f"{ms} {switch} {closed}\n" for ms, (switch, closed) in zip(PAGES_MS, moves, strict=True))


def _read(said: str, bodies: dict[str, int]) -> Heap:
    """What it printed, without the code of the modules that were loaded then."""
    lines = [line.split(" ") for line in said.splitlines()]
    marks = [int(line[1]) for line in lines if line[0] == "code"]
    sizes = {
        name: after - before - bodies[name]
        for name, (before, after) in zip(bodies, pairwise(marks), strict=True)
    }
    nothing = int(median(sizes[name] for name in NOTHING))  # a dict grows now and then
    base = next(int(line[1]) for line in lines if line[0] == "base")
    found: dict[str, int] = {}
    for (name, value), loaded in zip(
        (
            (line[0], int(line[1]))
            for line in lines
            if line[0] in Heap.__dataclass_fields__ and line[0] != "digest"
        ),
        (line[1:] for line in lines if line[0] == "loaded"),
        strict=True,
    ):
        code = sum(sizes[each] - nothing for each in loaded if each in sizes and each != PLAYER)
        found[name] = value - base - code
    digest = next(line[1] for line in lines if line[0] == "digest")
    return Heap(**found, digest=digest)
