"""Code that cannot be bundled, and code that only looks so."""

import pytest

from firmware.base.errors import GameError
from hil.bundle.make import make


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
            "from ODD import other\nclass A(other.B): pass\ndef results(): return A()",
            2,
            "class 'A' names its base by 'other.B', not by a name alone",
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
    made = package(main="", other="A = 1\nclass B: pass\n")
    path = __import__(made.name).__path__[0] + "/main.py"
    with open(path, "w") as file:
        file.write(source.replace("ODD", made.name))
    with pytest.raises(GameError, match=words.replace("ODD", made.name)) as raised:
        make(made.plan())
    assert raised.value.where == f"{path}:{line}"
    assert len(str(raised.value).splitlines()) == 1


def test_odd_code_that_nothing_reaches_is_not_refused(package, on_cpython):
    made = package(main="def results(): return 1\ndef other(): return eval('2')\n")
    assert on_cpython(make(made.plan())) == "1"


def test_a_module_of_micropython_that_is_not_known_is_refused(package):
    made = package(main="import marsupial\ndef results(): return marsupial.pouch\n")
    with pytest.raises(GameError, match=r"'marsupial'.*hil/bundle/outside.py"):
        make(made.plan())
