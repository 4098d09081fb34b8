"""Images, and what follows from them: what is left out, put in place, refused."""

from dataclasses import replace

import pytest

from firmware.base.errors import GameError
from hil.bundle.make import make

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


@pytest.mark.parametrize("short", [True, False])
def test_an_image_behaves_as_what_it_was_made_of(package, tmp_path, short, on_micropython):
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


SHELF = """
    class Book:
        def __init__(self, number):
            self.number = number
            self.lent = 0


    class Shelf:
        def __init__(self):
            self.book = Book(4)

        def lend(self):
            self.book.lent += 1
            self.book.lent += self.book.lent
            self.book.lent += self.book.lent
            self.book.lent += self.book.lent
            self.book.lent += self.book.lent
            return self.book.lent + self.book.number


    def shelf():
        return Shelf()


    def let_go():
        pass


    def results():
        before = shelf().lend()
        let_go()
        return before, shelf().lend()
"""


def test_what_an_image_left_in_globals_can_be_let_go(package, tmp_path, on_micropython):
    made = package(main=SHELF)
    plan = replace(
        made.plan(images={made.symbol("main", "shelf"): made.real("main").Shelf()}),
        let_go=made.symbol("main", "let_go"),
        short=False,
    )
    bundle = make(plan)
    assert "hub_0" in bundle.sources["whole"], "the book is asked for too seldom to be a global"
    asked = "print(whole.results(), whole.hub_0 is None); whole.let_go(); print(whole.hub_0 is None)"
    assert on_micropython(bundle, tmp_path / "b", asked).split("\n") == ["(20, 20) False", "True"]


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
