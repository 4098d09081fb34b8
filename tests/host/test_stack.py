"""The count of calls from the sources: by hand on small programs, and beside what scripts call."""

import gc
import sys
from pathlib import Path

import pytest

from firmware.base.errors import UsageError
from hil import games
from hil.build import mpy
from hil.checks.call_depth import stack
from hil.checks.stack import bound, compiled, frames
from hil.checks.stack.depth import Deepest
from hil.checks.stack.flow import Flow
from hil.checks.stack.frames import Frames
from hil.checks.stack.imports import once
from hil.checks.stack.program import Program
from hil.command.replay import Bench

try:
    COMPILER = mpy.find_compiler()
except UsageError:
    COMPILER = ""
needs_compiler = pytest.mark.skipif(not COMPILER, reason="there is no mpy-cross command on this machine")


def follow(folder, **sources):
    """The calls of a small program; its module `a` has a function `main`."""
    program = Program()
    for name, text in sources.items():
        path = folder / f"{name}.py"
        path.write_text(text)
        program.add(name, path, f"{name}.py")
    flow = Flow(program, "game")
    first = program.modules["a"]
    flow.follow(first.body)
    flow.settle()
    flow.enter(next(each for each in first.body.inner if each.name == "main"))
    return flow


def called(flow, caller):
    """Names of what a function calls."""
    return {
        str(edge.callee)
        for function, edges in flow.edges.items()
        for edge in edges
        if str(function) == caller
    }


def deepest(flow, cost=lambda function, kind: 1):
    first = flow.program.modules["a"]
    main = next(each for each in first.body.inner if each.name == "main")
    found = Deepest(once(flow.edges, (first.body,)), cost, lambda function: 0)
    return found, main


CALLS = {
    "a function": ("def f(): pass\ndef main(): f()", {"a.f"}),
    "a method": ("class A:\n    def f(self): pass\ndef main(): A().f()", {"a.A.f"}),
    "a constructor": ("class A:\n    def __init__(self): pass\ndef main(): A()", {"a.A.__init__"}),
    "an inherited method": (
        "class A:\n    def f(self): pass\nclass B(A): pass\ndef main(): B().f()",
        {"a.A.f"},
    ),
    "an overridden one, not its base's": (
        "class A:\n    def f(self): pass\nclass B(A):\n    def f(self): pass\ndef main(): B().f()",
        {"a.B.f"},
    ),
    "an attribute that the constructor sets": (
        "class A:\n    def f(self): pass\nclass B:\n    def __init__(self): self.x = A()\n"
        "b = B()\ndef main(): b.x.f()",
        {"a.A.f"},
    ),
    "either of two": (
        "class A:\n    def f(self): pass\nclass B:\n    def f(self): pass\n"
        "def main(c=1):\n    x = A() if c else B()\n    x.f()",
        {"a.A.f", "a.B.f"},
    ),
    "a method handed on": (
        "class A:\n    def f(self): pass\ndef go(call): call()\ndef main(): go(A().f)",
        {"a.go"},
    ),
    "one of a list": ("def f(): pass\nx = []\nx.append(f)\ndef main():\n    for each in x: each()", {"a.f"}),
    "one of a dict": ("def f(): pass\nx = {'f': f}\ndef main(): x['f']()", {"a.f"}),
    "one of a tuple by its place": ("def f(): pass\ndef g(): pass\nx = (f, g)\ndef main(): x[1]()", {"a.g"}),
    "what is unpacked": (
        "def f(): pass\ndef g(): pass\nx = (f, g)\ndef main():\n    h, _ = x\n    h()",
        {"a.f"},
    ),
    "a closure": (
        "def make():\n    def f(): pass\n    return f\ndef main(): make()()",
        {"a.make", "a.make.f"},
    ),
    "a lambda": ("def main(): (lambda: 1)()", {"a.main.<lambda>"}),
    "a property": (
        "class A:\n    @property\n    def f(self): return 1\ndef main(): return A().f",
        {"a.A.f"},
    ),
    "an operator": ("class A:\n    def __add__(self, o): pass\ndef main(): A() + 1", {"a.A.__add__"}),
    "a context": (
        "class A:\n    def __enter__(self): pass\n    def __exit__(self, *a): pass\n"
        "def main():\n    with A(): pass",
        {"a.A.__enter__", "a.A.__exit__"},
    ),
    "a key": ("def f(n): pass\ndef main(): sorted([1], key=f)", {"a.f"}),
    "a generator where it is stepped": (
        "def f():\n    yield 1\ndef main():\n    for each in f(): pass",
        {"a.f"},
    ),
    "a comprehension": ("def f(n): pass\ndef main(): [f(n) for n in (1, 2)]", {"a.main.<listcomp>"}),
    "a static and a class method": (
        "class A:\n    @staticmethod\n    def f(): pass\n    @classmethod\n    def g(cls): cls.f()\n"
        "def main(): A.g()",
        {"a.A.g"},
    ),
    "what a name asks for": (
        "class A:\n    def f(self): pass\ndef main(): getattr(A(), 'f')()",
        {"a.A.f"},
    ),
    "what a name made while running may ask for": (
        "class A:\n    names = ('f',)\n    def f(self): pass\n    def g(self): pass\n"
        "def main(which=''): getattr(A(), which)()",
        {"a.A.f"},
    ),
    "an object that is called": (
        "class A:\n    def __call__(self): pass\ndef main(): A()()",
        {"a.A.__call__"},
    ),
    "what another function sets": (
        "class A:\n    def f(self): pass\nclass B:\n    x = None\nb = B()\ndef put(): b.x = A().f\n"
        "def main():\n    put()\n    b.x()",
        {"a.put", "a.A.f"},
    ),
}


@pytest.mark.parametrize("name", CALLS)
def test_calls_are_followed_to(tmp_path, name):
    text, reached = CALLS[name]
    flow = follow(tmp_path, a=text)
    assert called(flow, "a.main") - {"a.A.__init__", "a.B.__init__"} == reached - {"a.A.__init__"} or (
        called(flow, "a.main") == reached
    )
    assert flow.guessed == {}


def test_super_goes_on_to_the_base(tmp_path):
    text = "class A:\n    def f(self): pass\nclass B(A):\n    def f(self): super().f()\ndef main(): B().f()"
    flow = follow(tmp_path, a=text)
    assert called(flow, "a.B.f") == {"a.A.f"}


def test_a_class_may_have_the_name_of_its_imported_base(tmp_path):
    base = "class X:\n    def go(self):\n        helper()\n\ndef helper():\n    pass\n"
    text = "from b import X\n\nclass X(X):\n    pass\n\ndef main():\n    X().go()\n"
    flow = follow(tmp_path, a=text, b=base)
    assert called(flow, "b.X.go") == {"b.helper"}


def test_a_call_that_is_not_known_counts_as_every_method_of_that_name(tmp_path):
    text = "import json\nclass A:\n    def fill(self): self.deep()\n    def deep(self): pass\n"
    text += (
        "class B:\n    def fill(self): pass\nclass C:\n    def other(self): pass\na, b, c = A(), B(), C()\n"
    )
    text += "def main(x): x.fill()"
    flow = follow(tmp_path, a=text)
    assert called(flow, "a.main") == {"a.A.fill", "a.B.fill"}
    [(caller, line, what)] = flow.guessed
    assert (str(caller), line, what) == ("a.main", 10, "'x.fill'")


def test_a_bare_value_that_is_not_known_counts_as_every_function_that_is_held(tmp_path):
    text = "def f(): pass\ndef g(): pass\nheld = [f]\ndef main(x):\n    g()\n    x()"
    flow = follow(tmp_path, a=text)
    assert called(flow, "a.main") == {"a.f", "a.g"}
    assert [what for _, _, what in flow.guessed] == ["'x'"]


def test_the_deepest_path_is_the_one_with_most_bytes(tmp_path):
    text = "def f(): g()\ndef g(): h()\ndef h(): pass\ndef big(): pass\ndef main():\n    f()\n    big()"
    flow = follow(tmp_path, a=text)
    found, main = deepest(flow)
    assert [str(step[0]) for step in found.below(main).steps] == ["a.f", "a.g", "a.h"]
    found, main = deepest(flow, lambda function, kind: 10 if function.name == "big" else 1)
    assert [str(step[0]) for step in found.below(main).steps] == ["a.big"]


def test_recursion_without_a_bound_is_named(tmp_path):
    flow = follow(tmp_path, a="def f(n): g(n)\ndef g(n): f(n)\ndef main(): f(1)")
    found, _ = deepest(flow)
    assert [(each.where, str(each)) for each in found.recursions] == [
        ("a.py:1", "a.f > a.g > a.f: calls itself without end, as far as the code shows")
    ]


@pytest.mark.parametrize("times", [0, 1, 5])
def test_declared_recursion_counts_as_often_as_it_says(tmp_path, times):
    text = f"def f(n):\n    f(n - 1)  # depth: {times} n is small\n    g()\ndef g(): pass\ndef main(): f(1)"
    found, main = deepest(follow(tmp_path, a=text))
    assert found.recursions == []
    assert found.below(main).calls == 1 + times + 1


def test_recursion_that_is_declared_on_one_way_round_only_is_named(tmp_path):
    text = "def f(n):\n    f(n - 1)  # depth: 3 n is small\n    g(n)\ndef g(n): f(n)\ndef main(): f(1)"
    found, _ = deepest(follow(tmp_path, a=text))
    assert len(found.recursions) == 1


def test_a_depth_without_a_reason_declares_nothing(tmp_path):
    found, _ = deepest(follow(tmp_path, a="def f(n):\n    f(n - 1)  # depth: 3\ndef main(): f(1)"))
    assert len(found.recursions) == 1


def test_modules_are_run_once_where_they_are_imported_first(tmp_path):
    flow = follow(
        tmp_path, a="import b\nimport c\ndef main():\n    import c\n    import d", b="import c", c="", d=""
    )
    graph = once(flow.edges, (flow.program.modules["a"].body,))
    runs = {str(f): [str(e.callee) for e in edges if e.kind == "import"] for f, edges in graph.items()}
    assert runs == {"a": ["b"], "b": ["c"], "a.main": ["d"], "d": []}


# What is compiled, and what it costs --------------------------------------------------------------------


@needs_compiler
def test_state_of_a_function_is_what_the_compiler_wrote(tmp_path):
    path = tmp_path / "a.py"
    text = "def small(a):\n    return a\n\ndef large(a, b, c, d, e, f, g, h):\n    try:\n"
    path.write_text(
        text + "        return (a, b, c, d, e, f, g, h)\n    except OSError:\n        return ()\n"
    )
    module = compiled.compiled(path)
    assert [(each.name, each.state, each.tries) for each in module.inner] == [
        ("small", 2, 0),
        ("large", 16, 1),
    ]


@needs_compiler
def test_small_state_lies_on_the_stack_and_large_state_does_not(tmp_path):
    path = tmp_path / "a.py"
    text = "def small(a, b):\n    return a\n\ndef large(a):\n"
    path.write_text(text + "    return (1, 2, 3, 4, 5, 6, 7, 8, a, a, a, a)\n")
    program = Program()
    program.add("a", path, "a.py")
    small, large = program.modules["a"].body.inner
    costs = Frames(program)
    words = compiled.compiled(path).inner[0].state
    assert costs.state(small) == ((frames.HEAD + words * 4 + 7) // 8 * 8, False)
    assert costs.state(large) == (24, False)


# The games -----------------------------------------------------------------------------------------------


def codes(known):
    """The functions of a followed program, by what a running function's code says of itself."""
    found = {}
    for module in known.program.modules.values():
        for each in module.functions:
            lines = [each.line, *(d.lineno for d in getattr(each.node, "decorator_list", ()))]
            found.setdefault((str(module.path.resolve()), min(lines), each.name), []).append(each)
    return found


class Seen:
    """Notes which function of firmware and game calls which, below the console's own."""

    def __init__(self, known):
        self.pairs = set()
        self._codes = codes(known)
        self._first = {
            key
            for key, found in self._codes.items()
            if found[0].module.name in ("firmware.console", "firmware.steps")
        }
        self._keys = {}
        self._stack = []

    def __call__(self, frame, event, _):
        if event not in ("call", "return"):
            return
        code = frame.f_code
        if code not in self._keys:
            key = (code.co_filename, code.co_firstlineno, code.co_name)
            self._keys[code] = key if key in self._codes else None
        key = self._keys[code]
        if key is None:
            return
        if event == "call":
            if self._stack and self._stack[0] in self._first:
                self.pairs.add((self._stack[-1], key))
            self._stack.append(key)
        elif event == "return" and self._stack:
            self._stack.pop()

    def missing(self, known):
        edges = {(caller, edge.callee) for caller, called in known.graph.items() for edge in called}
        for one, other in self.pairs:
            ways = [(a, b) for a in self._codes[one] for b in self._codes[other]]
            packing = any(each.module.name in bound.PACKS | bound.BRANCHES for way in ways for each in way)
            packing = packing or any(each.module.name in HOST for way in ways for each in way)
            if not packing and not edges.intersection(ways):
                yield f"{ways[0][0]} calls {ways[0][1]}"


HOST = {f"firmware.charts.{name}" for name in ("index", "tree", "row")}  # what packs the charts


@pytest.mark.slow
@pytest.mark.parametrize(("name", "scripts"), [("honey_flow", 5), ("kit_room", 5), ("plain_rules", 26)])
def test_every_call_that_scripts_were_seen_to_make_is_one_the_sources_allow(name, scripts):
    where = str(Path(__file__).parent / "corpus" / name) if name == "plain_rules" else name
    game = games.load(where)
    known = bound.followed("pico_matrix", game)
    seen = Seen(known)
    paths = sorted(game.scripts.glob("*.play"))[:scripts]
    assert len(paths) == scripts
    with Bench("desk") as bench:
        for path in paths:
            read = bench.read(path, game)
            seen._stack.clear()
            gc.collect()
            gc.disable()  # a generator that is collected is resumed once more, from wherever that happens
            sys.setprofile(seen)
            try:
                bench.run(read, game)
            finally:
                sys.setprofile(None)
                gc.enable()
    assert len(seen.pairs) > 300
    assert list(seen.missing(known)) == []


@pytest.mark.slow
@needs_compiler
@pytest.mark.parametrize("name", ["honey_flow", "kit_room"])
def test_the_games_fit_and_every_call_of_theirs_is_resolved(name):
    found = stack("pico_matrix", games.load(name))
    assert found.refused == ()
    assert found.notes == ()
    assert found.lines[0].startswith("stack: ")


@pytest.mark.parametrize(
    ("does", "files"),
    [
        ("open(path)", True),
        ("os.sync()", True),
        ("sys.print_exception(path)", True),
        ("path.read()", False),
        ("lambda: open(path)", False),
    ],
)
def test_a_function_that_works_on_files_or_prints_a_traceback_takes_more_below(tmp_path, does, files):
    flow = follow(tmp_path, a=f"import os, sys\n\ndef main(path=''):\n    {does}\n")
    main = next(each for each in flow.program.modules["a"].body.inner if each.name == "main")
    assert Frames.within(main) == (frames.WITHIN_FILES if files else frames.WITHIN)
