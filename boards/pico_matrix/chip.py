"""The chip on which this runs, asked of MicroPython: `chip` is `rp2350` on a Pico 2, else `rp2040`.

An image holds both modules, so that its files are the same for either; only the one in use takes memory.
"""

import sys

__all__ = ("chip",)

TYPE_CHECKING = False
if TYPE_CHECKING or "RP2350" not in getattr(sys.implementation, "_machine", ""):
    from boards.pico_matrix import rp2040 as chip
else:
    from boards.pico_matrix import rp2350 as chip
