"""Names for files that are compiled as viper for a board's chip and run as plain Python everywhere else.

A compiler for viper knows both by name. Elsewhere `const` gives its value back, and `ptr32` is only an
annotation: what is passed there is an array of 32-bit integers, and on a chip it may be an address.
"""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.base.numbers import Numbers

    ptr32 = Numbers
else:
    ptr32 = object


def const(value: int) -> int:
    """`value`."""
    return value
