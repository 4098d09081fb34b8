"""The most stack that a game can take on a board, by the sources."""

import importlib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import boards
import firmware
from hil.checks.stack import frames
from hil.checks.stack.depth import Deepest, Graph, Recursion
from hil.checks.stack.depth import Path as Calls
from hil.checks.stack.flow import Flow
from hil.checks.stack.frames import Frames
from hil.checks.stack.imports import once
from hil.checks.stack.program import Function, Program
from hil.checks.stack.store import Edge
from hil.games import Game

START = "start"  # a board's module and function that its image starts with
MAIN = "main"  # and those that play until something ends it
NOT_THERE = frozenset(("host", "scripts", "games", "manifest", "check", "image"))
PACKS = frozenset(("firmware.charts.pack",))  # the host packs
BRANCHES = frozenset(("firmware.charts.parallel_microstep", "firmware.charts.paths"))


@dataclass(frozen=True)
class Bound:
    """`deepest`: the path with the most bytes, from power-on; `steps`: that of each call of `main`.

    `guessed`: calls that could be anything, with file and line; `recursions`: recursion that nothing bounds.
    """

    deepest: Calls
    steps: "tuple[tuple[str, Calls], ...]"
    guessed: tuple[str, ...]
    recursions: tuple[Recursion, ...]

    @property
    def bytes(self) -> int:
        """With what lies on the stack before the program starts."""
        return frames.START + self.deepest.bytes


def program(board: str, game: Game) -> Program:
    """Every module that runs there."""
    made = Program()
    kit = Path(firmware.__path__[0])
    made.add_folder("firmware", kit, "firmware", NOT_THERE)
    made.add_folder(f"boards.{board}", Path(boards.__path__[0]) / board, f"boards/{board}", NOT_THERE)
    if game.package.startswith("firmware."):
        made.add("firmware.games", kit / "games" / "__init__.py", "firmware/games/__init__.py")
    made.add_folder(game.package, game.folder, game.name, NOT_THERE)
    return made


@dataclass(frozen=True, repr=False)
class Followed:
    """A board's program with a game: who calls whom, from `root` on; `plays` is the main function."""

    program: Program
    graph: Graph
    root: Function
    plays: Function
    guessed: tuple[str, ...]


@cache
def followed(board: str, game: Game) -> Followed:
    """Follow every call from power-on; takes some seconds."""
    everything = program(board, game)
    starts, plays = (_function(everything, f"boards.{board}.{name}", name) for name in (START, MAIN))
    flow = Flow(everything, game.package, PACKS if game.console().table.branched else PACKS | BRANCHES)
    root = Function("power on", starts.module, starts.module.tree, kind="start")
    flow.call(root, starts.module.body, "import", 1)
    flow.call(root, starts, "call", 1)
    flow.enter(root)
    graph = once(flow.edges, (starts.module.body, plays.module.body))
    graph[root] = flow.edges[root]
    return Followed(everything, graph, root, plays, tuple(_told(*each) for each in flow.guessed))


@cache
def bound(board: str, game: Game) -> Bound:
    """The most stack of all calls. Raises UsageError without the compiler."""
    known = followed(board, game)
    machine_code = importlib.import_module(f"boards.{board}.native")
    costs = Frames(known.program, frozenset((*machine_code.VIPER, *machine_code.NATIVE)))
    found = Deepest(known.graph, costs.of, costs.within)
    if found.recursions:
        return Bound(Calls(), (), known.guessed, tuple(found.recursions))
    return Bound(found.below(known.root), _steps(found, known.graph, known.plays), known.guessed, ())


def most_calls(board: str, game: Game, entry: "tuple[str, str]") -> int:
    """The deepest nesting of calls below the function `entry`, (module, path), itself included.

    Comprehensions count, as on a board, and the bodies of modules that are imported meanwhile.
    """
    known = followed(board, game)
    module, path = entry  # as in ("firmware.console", "Console.run_to")
    first = next(each for each in known.program.modules[module].functions if each.path == path)
    found = Deepest(known.graph, lambda function, kind: 1, lambda function: 0)
    return 1 + found.below(first).calls


def _function(everything: Program, module: str, name: str) -> Function:
    body = everything.modules[module].body
    return next(each for each in body.inner if each.name == name)


def _told(caller: Function, line: int, what: str) -> str:
    return f"{caller.module.shown}:{line}: the call of {what} counts as the deepest that it could reach"


def _steps(found: Deepest, graph: Graph, plays: Function) -> "tuple[tuple[str, Calls], ...]":
    """The deepest path of each call that the main function makes, the deepest first."""
    steps = [(str(edge.callee), _path(found, edge)) for edge in graph[plays]]
    return tuple(sorted(steps, key=lambda step: -step[1].bytes))


def _path(found: Deepest, edge: Edge) -> Calls:
    below = found.below(edge.callee)
    size = below.bytes + found.cost(edge.callee, edge.kind)
    return Calls(size, ((edge.callee, edge.kind, edge.line), *below.steps))
