"""What the bundler does to code: names, scopes, constants, what stays apart."""

import pytest

from hil.bundle.make import make

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
def test_names_keep_their_meaning_through_every_scope(package, short, on_cpython):
    made = tricky(package)
    bundle = make(made.plan(short=short))
    assert on_cpython(bundle) == str(made.real("main").results())
    assert "unused" not in bundle.sources["whole"]
    assert "not in any bundle" not in bundle.sources["whole"]
    assert '"""' not in bundle.sources["whole"]


def test_micropython_gives_the_same_results_of_the_bundle(package, tmp_path, on_micropython):
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


def test_a_module_imported_in_a_function_stays_apart_and_can_be_let_go(package, tmp_path, on_micropython):
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
