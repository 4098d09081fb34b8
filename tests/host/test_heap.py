"""Heap: what is counted on the host, and what a 32-bit MicroPython takes."""

import shutil
from array import array
from pathlib import Path

import pytest

from boards.pico_matrix import check
from firmware.base.errors import UsageError
from hil import games
from hil.benchmarks import heap
from hil.benchmarks.wasm import build32
from hil.build.chips import RP2350
from hil.checks import heap as counted
from hil.checks.stack.compiled import Reader
from hil.command.measure import taken_down

SCRIPT = "wages_at_the_end.play"
OFF = 0.06  # how far the count may be from what was taken


def there() -> str:
    """Why the 32-bit MicroPython cannot be run here, or ""."""
    if not shutil.which("mpy-cross") or not shutil.which("node"):
        return "it needs node and mpy-cross"
    try:
        build32.fetched()
    except UsageError as error:
        return str(error)
    return ""


WHY_NOT = there()
needs_32_bits = pytest.mark.skipif(bool(WHY_NOT), reason=WHY_NOT)
needs_compiler = pytest.mark.skipif(not shutil.which("mpy-cross"), reason="there is no mpy-cross here")


class Holder:
    def __init__(self, **held):
        self.__dict__.update(held)


@pytest.mark.parametrize(
    ("value", "size"),
    [
        (Holder(), 32),
        (Holder(a=1, b=2, c=3), 32 + 32),
        ([], 16 + 16),
        ([0] * 5, 16 + 32),
        ((1, 2, 3), 32),
        ({1: 2}, 32 + 16),
        (bytearray(17), 16 + 32),
        (array("i", [0] * 4), 16 + 16),
        (7, 0),
        ("text", 0),
    ],
)
def test_objects_take_whole_blocks(value, size):
    assert counted._one(value)[0] == size


def test_a_game_that_does_not_fit_is_refused_with_what_is_left(monkeypatch):
    game = games.load("kit_room")
    takes = counted.estimate(game)
    assert counted.heap("pico_matrix", game).refused == ()
    monkeypatch.setattr(check, "HEAP", check.HEAP_BOARD + takes + check.HEAP_SPARE - 1)
    [words] = counted.heap("pico_matrix", game).refused
    assert words.startswith(
        f"the game leaves {check.HEAP_SPARE - 1:,} B of heap; {check.HEAP_SPARE:,} are needed"
    )


def test_a_game_too_large_for_a_pico_may_fit_a_pico_2(monkeypatch):
    """SRAM of 264 and 520 KB (RP2350 datasheet, 2.2.3; mem); a Pico has 2 KB of functions in flash for it."""
    game = games.load("kit_room")
    more = check.HEAP_PICO_2 - check.HEAP
    assert 248 * 1024 < more < 256 * 1024
    monkeypatch.setattr(check, "HEAP", 0)
    assert counted.heap("pico_matrix", game).refused
    found = counted.heap("pico_matrix", game, RP2350)
    assert found.refused == ()
    assert found.lines[0].endswith(f"of {check.HEAP_PICO_2:,} B are left")


@needs_compiler
def test_an_idle_module_holds_the_code_of_the_module_and_runs_none(tmp_path):
    text = "X = 3\n\ndef f(a):\n    return a + X\n\nclass A:\n    def g(self):\n        return f(X)\n"
    made = heap._write(tmp_path / "a.mpy", heap.idle(text))
    whole = heap._write(tmp_path / "b.mpy", text)
    body = Reader(made).code.inner[0].inner[0]
    assert (
        [each.name for each in body.inner] == [each.name for each in Reader(whole).code.inner] == ["f", "A"]
    )
    assert [each.size for each in body.inner] == [each.size for each in Reader(whole).code.inner]
    space = {}
    exec(heap.idle("raise OSError"), space)


@pytest.mark.slow
@needs_32_bits
def test_a_second_run_takes_no_more_and_the_count_is_near_what_is_taken():
    game = games.load("kit_room")
    contacts = taken_down(game, Path(game.scripts / SCRIPT))
    took = heap.measure(game, contacts)
    assert took.digest == contacts.digest
    assert took.second - took.after < 4096
    assert took.left <= took.pages
    assert took.imported < took.start < took.pages < took.start + 16 * 1024
    estimate = counted.estimate(game)
    assert abs(estimate - took.start) <= took.start * OFF
