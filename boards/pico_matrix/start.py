"""Starts the bundle so that the heap keeps room in one piece; /main.py calls `start`.

MicroPython puts each object into the first gap that takes it, and moves none. So a block at the far end
of the heap is held while all that stays is made, and let go by `main` when that is done. Names are made
once and for good when a module that has them is first imported; those of modules that play imports are
made here.
"""

import gc

ROOM = 42 * 1024  # an operator's pages, or what a run needs for a moment
NAMES = "/lib/{}.names"  # a line each
OFTEN = 64
BEYOND = 4 * 1024  # what is free but in small pieces when this begins


def start(bundle: str, package: str) -> None:
    """Run `main` of the module `bundle` with the game `package`."""
    room = _room()
    main = __import__(bundle).main
    _name(bundle)
    main(package, room)


def _name(bundle: str) -> None:
    """Make the names of the modules imported later. Asking for an attribute makes its name."""
    with open(NAMES.format(bundle)) as source:
        name = source.readline()
        made = 0
        while name:
            hasattr(gc, name[:-1])
            name = source.readline()
            made += 1
            if made % OFTEN == 0:
                gc.collect()  # so that names lie next to names


def _room() -> "list[bytearray]":
    """The block, in a list that can be emptied."""
    gc.collect()
    parts = [bytearray(gc.mem_free() - ROOM - BEYOND)]
    parts.append(bytearray(ROOM))
    del parts[0]
    return parts
