"""Heap of the bundled firmware on a 32-bit MicroPython, at the start and after a whole game."""

import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

from hil.bundle import compiling, machine
from hil.bundle.make import make
from hil.bundle.modules import Symbol
from hil.bundle.plan import Bundle, Plan
from hil.games import Game
from hil.measure import whole_run
from hil.measure.contacts import END, Contacts
from hil.wasm import build32

AIM = 110 * 1024
WRAP = 1 << 30
BEFORE_WRAP_MS = 20_000
STEPS_A_TURN = 100
PLAYER = whole_run.__name__
ASKED = ("events", "allocated", "worst_step", "digest")  # of the player, by the paragraphs below
PAGES_MS = (2_000, 4_000, 4_100, 4_500)  # door open, pad.open closed, open again, the pages stand


@dataclass(frozen=True)
class Memory:
    """Bytes of heap after a collection, and what the run made of the contacts.

    `start` and `after` hold everything: firmware, game, bench link; `pages` besides the operator's
    pages, 0 for a game without a pad. `files`: bytes of all files of the bundle.
    """

    files: int
    empty: int
    start: int
    after: int
    pages: int
    events: int
    allocated: int
    worst_step: int
    digest: str
    wrapped_digest: str

    @property
    def bytes_an_event(self) -> float:
        return self.allocated / self.events if self.events else 0.0


def plan_for(game: Game) -> Plan:
    """The bundle of a game with the player of contacts beside it."""
    beside = tuple(Symbol(PLAYER, name) for name in ("Run", "read", "heap_use"))
    return machine.plan(game, beside=beside, keep=(machine.BEGIN, *((beside[0], name) for name in ASKED)))


def measure(game: Game, contacts: Contacts) -> Memory:
    """Play the contacts there. Raises UsageError when a tool is missing."""
    build32.fetched()
    tapes = {"contacts.txt": contacts.lines(), "pages.txt": _pages(game)}
    bundle = make(plan_for(game))
    told = _run(bundle, tapes, _paragraphs(game, contacts))
    numbers = {name: int(text) for name, text in told.items() if "digest" not in name}
    size = sum(len(data) for data in compiling.files(bundle).values())
    return Memory(size, **numbers, digest=told["digest"], wrapped_digest=told["wrapped_digest"])


def features(game: Game) -> dict[str, int]:
    """What each feature adds: the heap at the start with it, less that without its methods and objects."""
    plan = plan_for(game)
    whole = make(plan)
    start = _start(whole)
    added: dict[str, int] = {}
    for feature in game.module.FEATURES:
        without = frozenset([Symbol(feature.__module__, feature.__qualname__)])
        added[feature.name] = start - _start(make(replace(plan, without=without), whole.unsure))
    return added


def _start(bundle: Bundle) -> int:
    return int(_run(bundle, {}, _opening())["start"])


def _run(bundle: Bundle, tapes: dict[str, str], paragraphs: list[str]) -> dict[str, str]:
    with tempfile.TemporaryDirectory() as folder:
        files = Path(folder) / "files"
        for name, data in compiling.files(bundle).items():
            path = files / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        for name, text in tapes.items():
            (files / name).write_text(text)
        plan = Path(folder) / "plan.py"
        plan.write_text("\n\n".join(paragraphs))
        return dict(line.split(" ", 1) for line in build32.run(files, plan).splitlines())


def _pages(game: Game) -> str:
    """Contacts that open the operator's pages; none for a game without a pad."""
    names = [row[0] for row in game.wiring.SWITCHES]
    if "pad.open" not in names or "door" not in names:
        return f"0 {END} 0\n"
    moves = (names.index("door"), 1), (names.index("pad.open"), 1), (names.index("pad.open"), 0), (END, 0)
    return "".join(f"{ms} {switch} {closed}\n" for ms, (switch, closed) in zip(PAGES_MS, moves, strict=True))


def _opening() -> list[str]:
    """From the empty interpreter to a machine that is ready to begin."""
    return [
        "import gc, sys\nsys.path.insert(0, '/board')\ngc.collect()",
        "print('empty', gc.mem_alloc())",
        f"import {machine.NAME} as whole\nline = whole.Device(None, lambda data, end: None)",
        "console = whole.console(None)\ngc.collect()",
        "print('start', gc.mem_alloc())",
    ]


def _paragraphs(game: Game, contacts: Contacts) -> list[str]:
    """What to run; garbage is collected between two paragraphs, and never inside one."""
    places = [row[0] for row in game.module.SETTINGS]
    settings = {places.index(name): n for name, n in contacts.settings.items()}
    turns = len(contacts.changes) // STEPS_A_TURN + 1
    play = [f"player.heap_use(run, {STEPS_A_TURN})", "gc.collect()"] * turns
    again = "run = console = None\ngc.collect()\nconsole = whole.console(None)"
    return [
        *_opening(),
        f"before = gc.mem_alloc()\n__import__('{PLAYER}')\nplayer = sys.modules['{PLAYER}']",
        "changes = player.read('/board/contacts.txt')\ngc.collect()",
        f"console.begin(whole.Board(), {contacts.seed}, {settings}, 0)\ngc.collect()",
        "run = player.Run(console, changes)\ngc.collect()",
        "bench = gc.mem_alloc() - before",
        *play,
        "print('after', gc.mem_alloc() - bench)",
        "print('events', run.events)\nprint('allocated', run.allocated)",
        "print('worst_step', run.worst_step)\nprint('digest', run.digest())",
        again,
        f"console.begin(whole.Board(), {contacts.seed}, {settings}, {WRAP - BEFORE_WRAP_MS})",
        "run = player.Run(console, changes)",
        *play,
        "print('wrapped_digest', run.digest())",
        again,
        "changes = player.read('/board/pages.txt')\nconsole.begin(whole.Board(), 1, {}, 0)\ngc.collect()",
        "before = gc.mem_alloc()\nrun = player.Run(console, changes)",
        "player.heap_use(run)\ngc.collect()",
        "print('pages', gc.mem_alloc() - before)",
    ]
