"""What the bundler does to code: names, scopes, constants, what it leaves out, what it refuses."""

import subprocess
import sys
import textwrap

import pytest

from firmware.base.errors import GameError, UsageError
from hil import micropython
from hil.bundle import compiling
from hil.bundle.make import make
from hil.bundle.modules import Symbol
from hil.bundle.plan import Plan

try:
    micropython.find()
    compiling.find_compiler()
    MISSING = ""
except UsageError as error:
    MISSING = str(error)
needed = pytest.mark.skipif(bool(MISSING), reason=MISSING)


class Made:
    """A package of its own for one test."""

    def __init__(self, folder, name, modules):
        self.name = name
        (folder / name).mkdir()
        (folder / name / "__init__.py").touch()
        for module, source in modules.items():
            (folder / name / f"{module}.py").write_text(textwrap.dedent(source))

    def symbol(self, module, name):
        return Symbol(f"{self.name}.{module}", name)

    def real(self, module):
        __import__(f"{self.name}.{module}")
        return sys.modules[f"{self.name}.{module}"]

    def plan(self, entry="main.results", images=None, keep=(), short=True):
        entries = (self.symbol(*entry.split(".")),)
        return Plan("whole", entries, images or {}, keep=keep, packages=(self.name, "firmware"), short=short)


@pytest.fixture
def package(tmp_path, monkeypatch, request):
    monkeypatch.syspath_prepend(str(tmp_path))
    name = "odd_" + "".join(each for each in request.node.name if each.isalnum())[:40].lower()
    yield lambda **modules: Made(tmp_path, name, modules)
    for each in [each for each in sys.modules if each.split(".")[0] == name]:
        del sys.modules[each]


def on_micropython(bundle, folder, code="print(whole.results())"):
    folder.mkdir(exist_ok=True)
    for name, data in compiling.files(bundle).items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    begin = f"import sys\nsys.path.insert(0, {str(folder)!r})\nimport whole\n"
    done = subprocess.run(
        [micropython.find(), "-c", begin + code], capture_output=True, text=True, timeout=60
    )
    return done.stdout.strip() or done.stderr


def on_cpython(bundle):
    space = {"__name__": "whole"}
    exec(bundle.sources["whole"], space)
    return str(space["results"]())


TRICKY_LEFT = '''
    """Names that mean different things in different places."""

    from ODD import right
    from ODD.right import LIMIT, Base, add as plus
    from ODD.right import shared

    count = 3
    table = (1, 2, LIMIT)
    ON, OFF = range(2)


    def add(a: int, b: int) -> int:
        """Another add."""
        return a * b


    def shadows(count: int) -> "list[int]":
        add = count + 1
        table = [add for add in range(count)]
        return [add, len(table), *[]] if False else [add, len(table)]


    def comprehensions() -> "tuple[object, ...]":
        count_here = [count * 2 for count in (1, 2)]
        nested = [[count + table for count in (1, 2)] for table in (10, 20)]
        pairs = {count: plus(count, 1) for count in range(2)}
        outer_first = [each for each in [count, count]]
        return count_here, nested, sorted(pairs.items()), outer_first, count


    def closures() -> "tuple[int, ...]":
        n = 0

        def more(count: int = count, *rest: int) -> int:
            nonlocal n
            n += count + len(rest)
            return n

        twice = lambda add, shared=2: add * shared  # noqa: E731
        return more(), more(5), more(1, 2, 3), twice(4), twice(shared=5, add=1)


    def globals_change() -> int:
        global count
        count += 1
        return count


    def exceptions() -> str:
        try:
            raise ValueError("count")
        except ValueError as add:
            return str(add)


    def keywords() -> "tuple[int, ...]":
        return right.spread(step=2, start=1), plus(b=1, a=2), sorted([3, 1, 2], reverse=True)[0]


    class Thing(Base):
        count = 7
        double = count * 2
        limit = LIMIT

        def __init__(self, table: int, size: "int" = count) -> None:
            super().__init__(table)
            self.size = size

        @property
        def area(self) -> int:
            return self.size * self.count

        def value(self) -> int:
            return super().value() + count

        def unused(self) -> str:
            return "not in any bundle"


    def results() -> "tuple[object, ...]":
        thing = Thing(2)
        first, second = thing.area, thing.value()
        return (
            shadows(2), comprehensions(), closures(), globals_change(), exceptions(), keywords(),
            first, second, Thing.double, thing.limit, shared(), add(2, 3), plus(2, 3), f"{count} {table}",
            ON, OFF, right.LIMIT - LIMIT,
        )
'''
TRICKY_RIGHT = '''
    """The other module, with some of the same names."""

    from ODD.third import shared

    LIMIT = 1 << 4
    BIG = LIMIT * 2 - 1


    def add(a: int, b: int) -> int:
        return a + b


    def spread(start: int, step: int) -> int:
        total = 0
        for count in range(start, BIG, step):
            total = add(total, count)
        return total


    class Base:
        def __init__(self, table: int) -> None:
            self.table = table

        def value(self) -> int:
            return self.table * BIG
'''
TRICKY_THIRD = '''
    def shared() -> str:
        """Handed on by another module."""
        return "shared"
'''


def tricky(package):
    made = package(main=TRICKY_LEFT, right=TRICKY_RIGHT, third=TRICKY_THIRD)
    for module in ("main", "right", "third"):
        path = __import__(made.name).__path__[0] + f"/{module}.py"
        with open(path) as file:
            text = file.read().replace("ODD", made.name)
        with open(path, "w") as file:
            file.write(text)
    return made


@pytest.mark.parametrize("short", [True, False])
def test_names_keep_their_meaning_through_every_scope(package, short):
    made = tricky(package)
    bundle = make(made.plan(short=short))
    assert on_cpython(bundle) == str(made.real("main").results())
    assert "unused" not in bundle.sources["whole"]
    assert "not in any bundle" not in bundle.sources["whole"]
    assert '"""' not in bundle.sources["whole"]


@needed
def test_micropython_gives_the_same_results_of_the_bundle(package, tmp_path):
    made = tricky(package)
    wanted = str(made.real("main").results())
    for short in (True, False):
        assert on_micropython(make(made.plan(short=short)), tmp_path / f"board_{short}") == wanted


def test_constants_stand_where_their_names_stood(package):
    made = package(main="LIMIT = 1 << 4\nTEXT = 'x'\ndef results():\n    return LIMIT + 1, TEXT\n")
    text = make(made.plan(short=False)).sources["whole"]
    assert "16 + 1" in text
    assert "LIMIT" not in text
    assert "TEXT = 'x'" in text


# Images and what follows from them ------------------------------------------------------------

MACHINE = """
    class Bell:
        def __init__(self, bells, number):
            self.number = number
            self.bells = bells

        def ring(self):
            return self.bells.ring(self.number)

        def ring_at(self, loud):
            return self.bells.ring(self.number + loud)


    class Bells:
        def __init__(self):
            self.rung = [0] * 9
            self.count = 0

        def ring(self, number):
            self.rung[number] += 1
            self.count += 1
            return self.count


    class Tower:
        def __init__(self):
            self.bells = Bells()
            self.high = Bell(self.bells, 1)
            self.low = Bell(self.bells, 2)
            self.low_too = Bell(self.bells, 2)
            self.open = True
            self.never = False
            self.steps = [3, 1, 4, 1, 5, 9, 2, 6]
            self.names = {"high": 1, "low": 2}
            self.mixed = (self.high, 7, "seven", b"7", None, -5, (1, self.low))
            self.hook = self.high.ring
            self.call = Bell.ring
            self.tally = bytearray(3)
            self.view = self.tally
            self.set_up_only = "a word that the board does not need"

        def number(self, name):
            return self.names[name]

        def run(self, times):
            for i in range(times):
                if self.never:
                    return "unreachable words"
                self.high.ring() if i % 2 else self.low.ring()
                self.high.ring_at(self.next())
            self.open = False
            self.tally[1] += 4
            return self.view[1], self.steps[2], sum(self.steps)

        def next(self):
            self.bells.count += 100
            return self.bells.count // 200


    def tower():
        return Tower()


    def results():
        made = tower()
        first = made.run(3)
        return (
            first, made.bells.rung, made.bells.count, made.open, made.number("low"), made.hook(),
            made.call(made.low_too), made.mixed[1:6], made.mixed[6][0], made.names == {"high": 1, "low": 2},
        )
"""


def tower(package):
    made = package(main=MACHINE)
    return made, {made.symbol("main", "tower"): made.real("main").tower()}


@needed
@pytest.mark.parametrize("short", [True, False])
def test_an_image_behaves_as_what_it_was_made_of(package, tmp_path, short):
    made, images = tower(package)
    bundle = make(made.plan(images=images, short=short))
    twice = "print(whole.results())\nprint(whole.results())"  # a fresh image each time
    wanted = str(made.real("main").results())
    assert on_micropython(bundle, tmp_path / "board", twice).splitlines() == [wanted, wanted]


def test_what_only_set_up_needs_is_not_there(package):
    made, images = tower(package)
    bundle = make(made.plan(images=images, short=False))
    text = bundle.sources["whole"] + str(bundle.images)
    assert "set_up_only" not in text
    assert "does not need" not in text
    assert "def __init__" not in bundle.sources["whole"]
    assert "unreachable words" not in text, "a condition that is constant in the image"


def test_a_call_that_only_passes_on_is_put_in_place_and_its_object_goes(package):
    made = package(
        main=MACHINE.replace("self.hook = self.high.ring", "")
        .replace("made.hook(), ", "")
        .replace("self.call = Bell.ring", "")
        .replace("made.call(made.low_too), ", "")
        .replace("made.hook(),", "")
        .replace("made.call(made.low_too),", "")
        .replace("(self.high, 7", "(0, 7")
        .replace("(1, self.low)", "(1, 2)")
        .replace("self.high.ring() if i % 2 else self.low.ring()", "self.high.ring(); self.low.ring(); " * 4)
    )
    images = {made.symbol("main", "tower"): made.real("main").tower()}
    text = make(made.plan(images=images, short=False)).sources["whole"]
    assert ".ring(1)" in text
    assert ".ring(2)" in text
    assert "class Bell:" not in text


def test_what_live_code_sets_is_not_taken_for_constant(package):
    made = package(
        main="""
        class Box:
            def __init__(self):
                self.n = 5
                self.other = 5
                self.flag = False

            def change(self):
                self.n = 6

            def told(self):
                return "changed" if self.flag else "not changed", self.n, self.other

        def box():
            return Box()

        def set_from_outside(thing):
            thing.flag = True

        def results():
            made = box()
            made.change()
            set_from_outside(made)
            return made.told()
        """
    )
    images = {made.symbol("main", "box"): made.real("main").box()}
    text = make(made.plan(images=images, short=False)).sources["whole"]
    assert "self.n, 5" in text
    assert "'changed' if self.flag else" in text


@pytest.mark.parametrize(
    ("thing", "words"),
    [
        ("1.5", "made.thing is a float, which an image cannot hold"),
        ("2 ** 30", "made.thing is 1073741824, which is no small integer on a 32-bit board"),
        ("{1, 2}", "made.thing is a set, which an image cannot hold"),
        ("lambda: 3", "made.thing is .*lambda.*, which an image cannot name"),
        ("len", "made.thing is a builtin_function_or_method, which an image cannot hold"),
        ("[0, (1, {'deep': 0.5})]", r"made.thing\[1\]\[1\]\['deep'\] is a float"),
    ],
)
def test_what_an_image_cannot_hold_is_one_sentence_with_its_path(package, thing, words):
    made = package(
        main=f"""
        class Holder:
            def __init__(self):
                self.thing = {thing}

        def made():
            return Holder()

        def results():
            return made().thing
        """
    )
    with pytest.raises(GameError, match=words):
        make(made.plan(images={made.symbol("main", "made"): made.real("main").made()}))


@pytest.mark.parametrize(
    ("source", "line", "words"),
    [
        ("from os import *\ndef results(): return 1", 1, "'from os import \\*', which cannot be bundled"),
        ("from . import other\ndef results(): return 1", 1, "an import with leading dots"),
        (
            "try:\n    import os\nexcept ImportError:\n    os = None\ndef results(): return os",
            1,
            "does more at import",
        ),
        ("import sys\nif sys.path:\n    A = 1\ndef results(): return 1", 2, "does more at import"),
        ("A = [1]\nA[0] = 2\ndef results(): return A", 2, "'A\\[0\\]' is set at import"),
        ("def results(): return 1\ndef results(): return 2", 2, "'results' is defined twice"),
        ("def results():\n    return missing", 2, "name 'missing' is defined nowhere"),
        ("def results():\n    return eval('1')", 2, "'eval' is used"),
        ("def results():\n    return __name__", 2, "'__name__' is used"),
        (
            "def results():\n    class Inner: pass\n    return Inner",
            2,
            "class 'Inner' stands inside a function",
        ),
        (
            "class A(metaclass=type): pass\ndef results(): return A",
            1,
            "class 'A' has a metaclass or a decorator",
        ),
        (
            "class A:\n    for i in range(2): pass\ndef results(): return A",
            2,
            "holds more than methods and values",
        ),
        ("async def results(): pass\ndef other(): return 1", 1, "does more at import"),
        ("def results():\n    import ODD.other\n    return 1", 2, "inside a function"),
        ("from ODD import other\ndef results(): return other", 2, "module 'ODD.other' is used as a value"),
        ("import ODD.other\ndef results(): return 1", 1, "say 'from … import …'"),
        (
            "from ODD import other\n\ndef results():\n    other.A = 2\n    return other.A",
            4,
            "'other.A' is set from outside its module, which cannot be bundled",
        ),
    ],
)
def test_what_cannot_be_bundled_is_one_sentence_with_file_and_line(package, source, line, words):
    made = package(main="", other="A = 1\n")
    path = __import__(made.name).__path__[0] + "/main.py"
    with open(path, "w") as file:
        file.write(source.replace("ODD", made.name))
    with pytest.raises(GameError, match=words.replace("ODD", made.name)) as raised:
        make(made.plan())
    assert raised.value.where == f"{path}:{line}"
    assert len(str(raised.value).splitlines()) == 1


def test_odd_code_that_nothing_reaches_is_not_refused(package):
    made = package(main="def results(): return 1\ndef other(): return eval('2')\n")
    assert on_cpython(make(made.plan())) == "1"


def test_a_module_of_micropython_that_is_not_known_is_refused(package):
    made = package(main="import marsupial\ndef results(): return marsupial.pouch\n")
    with pytest.raises(GameError, match=r"'marsupial'.*hil/bundle/outside.py"):
        make(made.plan())


@needed
def test_a_module_imported_in_a_function_stays_apart_and_can_be_let_go(package, tmp_path):
    made = package(main="", pages="SHARED = (1, 2)\nclass Pages:\n    def show(self): return SHARED[1]\n")
    path = __import__(made.name).__path__[0] + "/main.py"
    with open(path, "w") as file:
        file.write(
            "import sys\n"
            f"def pages():\n    from {made.name}.pages import Pages\n"
            f"    del sys.modules['{made.name}.pages']\n    return Pages\n"
            "def results():\n    shown = pages()().show()\n"
            f"    return shown, '{made.name}.pages' in sys.modules\n"
        )
    bundle = make(made.plan())
    assert set(bundle.sources) == {"whole", f"{made.name}.pages"}
    assert on_micropython(bundle, tmp_path / "board") == "(2, False)"
