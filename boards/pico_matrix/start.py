"""From the image's /main.py to the main loop, with the game of a slot or of the image."""

import gc
import sys

COLLECT_AFTER = 8192  # bytes allocated during set-up: what is dropped leaves no gaps between what stays


def start(package: str) -> None:
    """Play the game on trial if a slot holds one, else `package`, which is frozen."""
    sys.path[:] = [".frozen"]  # a file on the board must not take a frozen module's place
    gc.threshold(COLLECT_AFTER)
    from boards.pico_matrix import slots

    slot = slots.used()
    if slot >= 0:
        try:
            package = slots.mount(slot)
        except Exception as error:  # a game that was checked and cannot be read: the image's own plays
            print("the game on trial cannot be used:", error)
            slot = -1
    from boards.pico_matrix.main import main

    main(package, slot)
