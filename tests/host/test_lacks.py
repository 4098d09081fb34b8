"""What `inlane check` refuses because MicroPython lacks it: each row fails there, and there alone."""

import builtins
import shutil
import subprocess
import sys

import pytest

from hil import games, micropython
from hil.checks import lacking
from hil.checks.bases import several_bases
from hil.checks.build import all_findings
from hil.checks.lacks import lacks
from hil.checks.source import Source

REFUSED = {
    # what an author writes: the line that is told, part of the sentence
    "match 3:\n    case 3:\n        pass": (1, "no 'match'; write if and elif"),
    "try:\n    pass\nexcept* ValueError:\n    pass": (1, "catch one error at a time"),
    "a = 1\nb = {**{1: 2}, 3: 4}": (2, "copy the dict and update it"),
    "a = [*(1, 2), 3]": (1, "list(a) + [b]"),
    "a = (*(1, 2), 3)": (1, "tuple(a) + (b,)"),
    "a = {*(1, 2), 3}": (1, "set(a) | {b}"),
    "def f():\n    return 1, *(2, 3)\nf()": (2, "tuple(a) + (b,)"),
    "def f(a, /):\n    return a\nf(1)": (1, "'/' among arguments"),
    "class A(metaclass=type):\n    pass": (1, "no 'metaclass='"),
    "@(lambda f: f)\ndef f():\n    pass": (2, "only names as decorators"),
    "with (open('/dev/null') as a, open('/dev/null') as b):\n    pass": (1, "does not compile this line"),
    "import functools": (1, "no module 'functools'; write the function out"),
    "from typing import Any": (1, "no module 'typing'; import it below `if TYPE_CHECKING:`"),
    "from dataclasses import dataclass": (1, "a class with an __init__"),
    "from enum import Enum": (1, "constants of the module"),
    "from collections.abc import Iterator": (1, "no module 'collections.abc'"),
    "from collections import Counter": (1, "'collections' has no 'Counter'"),
    "import math\nmath.gcd(4, 2)": (2, "'math' has no 'gcd'"),
    "import antigravity": (1, "no module 'antigravity'; do without it"),
    "a = 1\nRecursionError": (2, "no 'RecursionError'"),
    "format(3, '03d')": (1, "no 'format'"),
    "'abc'.removeprefix('a')": (1, "no '.removeprefix'; slice the text"),
    "'3'.zfill(2)": (1, "f'{n:03d}'"),
    "(5).bit_length()": (1, "no '.bit_length'"),
    "zip([1], [2], strict=True)": (1, "zip takes no 'strict='; leave it out"),
    "'a,b'.split(',', maxsplit=1)": (1, "split takes no 'maxsplit='"),
    "iter(lambda: 1, 1)": (1, "iter takes one argument"),
    "isinstance(1, int | str)": (1, "give them as a tuple"),
    "a = (1, 2, 3)\na[::2]": (2, "steps through lists only"),
    "'abc'[::-1]": (1, "steps through lists only"),
    "a = [1, 2, 3]\ndel a[::2]": (2, "neither sets nor deletes a slice with a step"),
    "a = bytearray(2) * 2": (1, "does not multiply a bytearray"),
    "def f():\n    pass\nf.n = 1": (3, "a function has no attributes"),
}

TAKEN = (
    "a, *b = 1, 2, 3\nassert b == [2, 3]",
    "def f(*a, **k):\n    return len(a) + len(k)\nassert f(*[1, 2], 3, *(4,), **{'a': 1}) == 5",
    "if (n := 3) > 2:\n    assert n == 3",
    "w = 5\nassert f'{3:{w}}' == '    3' and f'{3!r}' == '3' and f'{3=}' == '3=3' and f'{3000:,}' == '3,000'",
    "assert [1, 2, 3][::2] == [1, 3]\na = list((1, 2, 3))\nassert a[::-1] == [3, 2, 1]",
    "def f(a, *, b=2):\n    return a + b\nassert f(1) == 3",
    "TYPE_CHECKING = False\nif TYPE_CHECKING:\n    from typing import Any",
    "try:\n    from functools import cache\nexcept ImportError:\n    cache = None",
    "class A:\n    n: 'int | None' = None\n    def title(self):\n        return 1\nassert A().title()",
    "def format(n):\n    return n\nassert format(3) == 3",
    "from collections import deque, namedtuple\nP = namedtuple('P', 'a b')\nassert P(a=1, b=2).b == 2",
    "class A(dict):\n    pass\na = A()\na[1] = 2\nassert a[1] == 2",
    "a = {1: 2}\na |= {3: 4}\nassert sorted(a.items()) == [(1, 2), (3, 4)]",
    "async def f():\n    return 1",
    "assert max([], default=2) == 2 and list(enumerate([1], start=1)) == [(1, 1)]",
)

NOTED = {
    "a = {1: 2}\nfor k in a:\n    print(k)": "an order of their own",
    "def f(a):\n    return [v for v in a.values()]": "an order of their own",
    "def f(a):\n    return list(a.items())": "an order of their own",
    "s = {1, 2}\nfor k in s:\n    print(k)": "an order of their own",
    "def f(a):\n    return sorted(a, key=lambda n: n % 2)": "may exchange what has the same key",
    "def f(a):\n    return a[::2]": "steps through lists only",
    "def f(a):\n    return a / 2": "divide whole numbers by //",
    "a = 0.5": "count in whole numbers",
    "import random\na = random.getrandbits(3)": "draw with self.play.stream()",
    "from time import ticks_ms": "use self.clock(…)",
}
UNNOTED = (
    "def f(a):\n    return sum(v for v in a.values()), sorted(a.items()), max(a.values())",
    "def f(a):\n    return [k for k in sorted(a)]",
    "def f(a):\n    return a[::2]  # meant: it is a list",
    "def f(a):\n    return sorted(a, key=lambda n: n % 2)  # meant: no two are alike",
)


def game_of(folder, text):
    """A game folder in which nothing but one feature stands."""
    (folder / "features").mkdir()
    (folder / "features" / "rule.py").write_text(text + "\n")
    return Source(folder, "game")


def run(python, folder):
    return subprocess.run([python, "features/rule.py"], cwd=folder, capture_output=True, text=True)


@pytest.mark.parametrize("text", REFUSED)
def test_what_micropython_lacks_is_refused_with_its_line_and_a_mend(tmp_path, text):
    if "with (" in text and not shutil.which("mpy-cross"):
        pytest.skip("there is no mpy-cross command on this machine")
    line, words = REFUSED[text]
    found = [each for each in lacks(game_of(tmp_path, text)) if each.fatal]
    assert [each.where for each in found] == [f"game/features/rule.py:{line}"] * len(found) != []
    assert words in found[0].text


@pytest.mark.micropython
@pytest.mark.parametrize("text", REFUSED)
def test_what_is_refused_runs_under_python_and_fails_under_micropython(tmp_path, text):
    game_of(tmp_path, text)
    assert run(sys.executable, tmp_path).returncode == 0
    assert run(micropython.find(), tmp_path).returncode == 1


@pytest.mark.parametrize("text", TAKEN)
def test_what_micropython_has_is_not_refused(tmp_path, text):
    assert [str(each) for each in lacks(game_of(tmp_path, text)) if each.fatal] == []


@pytest.mark.micropython
@pytest.mark.parametrize("text", TAKEN)
def test_what_is_not_refused_runs_under_micropython(tmp_path, text):
    game_of(tmp_path, text)
    done = run(micropython.find(), tmp_path)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("text", NOTED)
def test_what_may_differ_is_noted(tmp_path, text):
    found = list(lacks(game_of(tmp_path, text)))
    assert len(found) == 1
    assert not found[0].fatal
    assert NOTED[text] in found[0].text


@pytest.mark.parametrize("text", UNNOTED)
def test_what_cannot_differ_or_is_meant_is_not_noted(tmp_path, text):
    assert list(lacks(game_of(tmp_path, text))) == []


# The tables, row by row ------------------------------------------------------------------------------------

OBJECTS = """
from collections import namedtuple, OrderedDict, deque
from array import array
class C:
    'doc'
    def f(self): pass
def g(): yield 1
things = ('', b'', 1, 1.5, [], (), {}, set(), range(1), bytearray(), object(), type, ValueError(), g,
          [].append, namedtuple('N', ('a',))(1), OrderedDict(), array('i'), deque((), 1), C, C(), C().f, g())
"""
CALLS = {
    "zip": "zip([1], strict=True)",
    "sum": "sum([1], start=2)",
    "int": "int('1', base=2)",
    "pow": "pow(2, 3, mod=3)",
    "round": "round(1, ndigits=1)",
    "str": "str(b'a', encoding='ascii')",
    "bytes": "bytes('a', encoding='ascii')",
    "print": "print(flush=True)",
    "namedtuple defaults": "namedtuple('N', 'a', defaults=(1,))",
    "namedtuple rename": "namedtuple('N', 'a', rename=True)",
    "deque": "deque((), maxlen=1)",
    "from_bytes byteorder": "int.from_bytes(b'a', byteorder='little')",
    "from_bytes signed": "int.from_bytes(b'a', 'little', signed=True)",
    "replace": "'a'.replace('a', 'b', count=1)",
    "split maxsplit": "'a'.split('a', maxsplit=1)",
    "split sep": "'a'.split(sep='a')",
    "rsplit": "'a'.rsplit('a', maxsplit=1)",
    "encode": "'a'.encode(encoding='ascii')",
    "decode": "b'a'.decode(encoding='ascii')",
}
ASKED = {
    "__init_subclass__": "class B(A): pass",
    "__getattribute__": "A().x",
    "__format__": "f'{A()}'",
    "__index__": "[1, 2][A()]",
    "__class_getitem__": "A[1]",
    "__del__": "A()\nimport gc\ngc.collect()",
    "__missing__": "class B(A, dict): pass\nB()[1]",
    "__instancecheck__": "isinstance(1, A())",
    "__round__": "round(A())",
    "__trunc__": "import math\nmath.trunc(A())",
    "__floor__": "import math\nmath.floor(A())",
    "__ceil__": "import math\nmath.ceil(A())",
    "__bytes__": "bytes(A())",
    "__length_hint__": "A.__iter__ = lambda self: iter([1])\nlist(A())",
    "__imul__": "a = A()\na *= 1",
    "__itruediv__": "a = A()\na /= 1",
    "__ifloordiv__": "a = A()\na //= 1",
    "__imod__": "a = A()\na %= 1",
    "__ipow__": "a = A()\na **= 1",
    "__imatmul__": "a = A()\na @= 1",
    "__iand__": "a = A()\na &= 1",
    "__ior__": "a = A()\na |= 1",
    "__ixor__": "a = A()\na ^= 1",
    "__ilshift__": "a = A()\na <<= 1",
    "__irshift__": "a = A()\na >>= 1",
}


def says(python, text):
    return subprocess.run([python, "-c", text], capture_output=True, text=True).stdout.split()


@pytest.mark.micropython
def test_names_of_pythons_own_are_all_that_micropython_lacks():
    there = set(says(micropython.find(), "import builtins\nprint(*dir(builtins))"))
    here = {name for name in says(sys.executable, "import builtins\nprint(*dir(builtins))") if name[0] != "_"}
    at_the_prompt = {"copyright", "credits", "exit", "license", "quit", "help"}
    newer = {"PythonFinalizationError", "_IncompleteInputError"}
    assert here - there - at_the_prompt - newer - {"True", "False", "None"} == lacking.BUILTINS
    assert all(hasattr(builtins, name) for name in lacking.BUILTINS)


@pytest.mark.micropython
def test_modules_have_the_names_of_the_tables():
    for module, names in lacking.NAMES.items():
        there = says(micropython.find(), f"import {module}\nprint(*dir({module}))")
        assert {name for name in there if name[0] != "_"} == names, module


def missing(names):
    """Those of these modules that MicroPython has not."""
    text = f"for name in '{' '.join(names)}'.split():\n"
    text += "    try:\n        __import__(name)\n    except ImportError:\n        print(name)"
    return set(says(micropython.find(), text))


@pytest.mark.micropython
def test_modules_of_the_table_exist_but_for_those_of_the_chip():
    assert missing(lacking.MODULES) == {"rp2"}
    assert missing(lacking.INSTEAD) == set(lacking.INSTEAD)


@pytest.mark.micropython
def test_attributes_of_the_table_are_pythons_and_not_micropythons():
    text = OBJECTS + f"for name in '{' '.join(lacking.ATTRIBUTES)}'.split():\n"
    text += "    if any([hasattr(each, name) for each in things]):\n        print(name)"
    assert says(sys.executable, text) == list(lacking.ATTRIBUTES)
    assert says(micropython.find(), text) == []


@pytest.mark.micropython
def test_arguments_of_the_table_are_refused_by_micropython():
    assert {
        f"{name} {keyword}" if f"{name} {keyword}" in CALLS else name for name, keyword, _ in lacking.KEYWORDS
    } == set(CALLS)
    for call in CALLS.values():
        text = f"from collections import namedtuple, deque\n{call}\nprint('ran')"
        assert "ran" not in says(micropython.find(), text), call
        if "count=" not in call:  # Python takes that one from 3.13 on
            assert "ran" in says(sys.executable, text), call


@pytest.mark.micropython
@pytest.mark.slow
def test_methods_of_the_table_are_called_by_python_and_not_by_micropython():
    assert set(ASKED) == set(lacking.UNCALLED)
    for method, asking in ASKED.items():
        text = f"class A:\n    def {method}(*a):\n        print('called')\n        return 0\n"
        text += "try:\n    " + asking.replace("\n", "\n    ") + "\nexcept Exception:\n    pass\nprint('ran')"
        assert says(sys.executable, text)[0] == "called", method
        assert says(micropython.find(), text) == ["ran"], method


# A whole game ----------------------------------------------------------------------------------------------


@pytest.fixture
def kit(tmp_path, monkeypatch):
    """A copy of the kit room as a game of one's own."""
    folder = tmp_path / "my_kit"
    shutil.copytree(games.BUILT_IN / "kit_room", folder, ignore=shutil.ignore_patterns("__pycache__"))
    for path in folder.rglob("*.py"):
        path.write_text(path.read_text().replace("firmware.games.kit_room", "my_kit"))
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    return folder


def test_a_game_is_refused_before_it_is_built(kit):
    path = kit / "features" / "rush.py"
    path.write_text(
        path.read_text().replace('cue"', 'cue"').replace("\nfrom firmware", "\nimport enum\nfrom firmware", 1)
    )
    found = [str(each) for each in all_findings(str(kit)) if each.fatal]
    assert found == [f"{path}:3: MicroPython has no module 'enum'; use constants of the module, one a line"]


MIXED = """
class Doubling:
    def award(self, what, points=0, exempt=False):
        return super().award(what, points * 2, exempt)


class Rush(Doubling, Feature):"""


def test_super_that_goes_on_to_a_sister_is_refused(kit):
    path = kit / "features" / "rush.py"
    path.write_text(path.read_text().replace("\nclass Rush(Feature):", MIXED))
    found = [str(each) for each in all_findings(str(kit), (several_bases,)) if each.fatal]
    assert len(found) == 1
    assert found[0].startswith(f"{path}:")
    assert "by super().award in Doubling goes on to that of nobody, Python to that of Feature" in found[0]


def test_an_attribute_that_each_finds_elsewhere_is_refused(kit):
    path = kit / "features" / "rush.py"
    two = "\nclass Plain(Feature):\n    pass\n\n\nclass Lasting(Feature):\n    span = 3\n\n\n"
    two += "class Rush(Plain, Lasting):"
    text = path.read_text().replace("\nclass Rush(Feature):", two)
    path.write_text(text.replace("    span = BALL\n", ""))
    found = [str(each) for each in all_findings(str(kit), (several_bases,)) if each.fatal]
    assert len(found) == 1
    assert "takes 'span' of Feature, Python that of Lasting" in found[0]


def test_several_bases_that_do_not_meet_are_taken(kit):
    path = kit / "features" / "rush.py"
    mixed = "\nclass Told:\n    def told(self):\n        return 1\n\n\nclass Rush(Told, Feature):"
    path.write_text(path.read_text().replace("\nclass Rush(Feature):", mixed))
    assert [str(each) for each in all_findings(str(kit), (several_bases,)) if each.fatal] == []
