"""Published examples of COBS, and the firmware's codec called with bytes.

Examples and refusals from PyPI `cobs` 1.2.2 after Cheshire & Baker 1999 (read and ran).
"""

from firmware.link import cobs

FULL = bytes(range(1, 255))

COBS_EXAMPLES = (
    (b"", b"\x01"),
    (b"\x00", b"\x01\x01"),
    (b"\x11\x22\x00\x33", b"\x03\x11\x22\x02\x33"),
    (b"\x11\x00\x00\x00", b"\x02\x11\x01\x01\x01"),
    (FULL, b"\xff" + FULL),
    (FULL + b"\xff", b"\xff" + FULL + b"\x02\xff"),
    (b"\x00" + FULL + b"\xff", b"\x01\xff" + FULL + b"\x02\xff"),
)

COBS_REFUSED = (b"", b"\x00", b"\x05123", b"\x051234\x00", b"\x0512\x004")


def stuffed(data):
    """What the firmware encodes `data` as."""
    buffer = bytearray(1) + data
    cobs.encode(buffer, len(data))
    return bytes(buffer)


def restored(data):
    """What the firmware decodes `data` to; None when it refuses."""
    buffer = bytearray(data)
    n = cobs.decode(buffer, len(data))
    return None if n < 0 else bytes(buffer[:n])
