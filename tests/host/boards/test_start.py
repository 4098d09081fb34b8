"""The start of a board's bundle: room in one piece is left, whatever is made meanwhile."""

import subprocess
from pathlib import Path

import pytest

from firmware.base.errors import UsageError
from hil import micropython

MAIN = """
import gc
from boards.pico_matrix.start import ROOM

kept = []

def largest():
    gc.collect()
    low, high = 0, gc.mem_free()
    while high - low > 64:
        middle = (low + high) // 2
        try:
            piece = bytearray(middle)
            low = middle
        except MemoryError:
            high = middle
        piece = None
        gc.collect()
    return low

def main(package, room):
    assert package == "some.game"
    assert [len(each) for each in room] == [ROOM]
    {first}
    junk = []
    while gc.mem_free() > 16 * 1024:  # what stays, and between it what does not
        junk.append(bytearray(96))
        kept.append(bytearray(32))
    del junk[:]
    room.clear()
    junk = None
    print(largest() >= ROOM)
"""
RUN = """
import sys
sys.path[:0] = [{0!r}, {1!r}]
from boards.pico_matrix.start import start
start("made", "some.game")
"""


def run(folder: Path, first: str) -> str:
    try:
        command = micropython.find()
    except UsageError as error:
        pytest.skip(str(error))
    (folder / "made.py").write_text(MAIN.format(first=first))
    root = str(Path(__file__).parents[3])
    done = subprocess.run(
        [command, "-X", "heapsize=400k", "-c", RUN.format(str(folder), root)], capture_output=True, text=True
    )
    return (done.stdout + done.stderr).strip()


def test_what_is_made_meanwhile_does_not_lie_in_the_room(tmp_path: Path) -> None:
    assert run(tmp_path, "") == "True"


def test_without_the_block_it_would(tmp_path: Path) -> None:
    assert run(tmp_path, "room.clear(); gc.collect()") == "False"
