"""Starts the bundle so that the heap keeps room in one piece; /main.py calls `start`.

MicroPython puts each object into the first gap that takes it, and moves none. So a block at the far end
of the heap is held while all that stays is made, and let go by `main` when that is done.
"""

import gc

ROOM = 42 * 1024  # an operator's pages, or what a run needs for a moment
BEYOND = 4 * 1024  # what is free but in small pieces when this begins


def start(bundle: str, package: str) -> None:
    """Run `main` of the module `bundle` with the game `package`."""
    room = _room()
    __import__(bundle).main(package, room)


def _room() -> "list[bytearray]":
    """The block, in a list that can be emptied."""
    gc.collect()
    parts = [bytearray(gc.mem_free() - ROOM - BEYOND)]
    parts.append(bytearray(ROOM))
    del parts[0]
    return parts
