"""The frame format of `firmware.link.frames` for CPython.

Written independently of the firmware's codec and tested against it, so that an error in one is found.
"""

import zlib

from firmware.link.frames import HEAD, TAIL

_BLOCK = 254


class DamagedFrame(Exception):
    """Bytes that are no valid frame; the line damaged them."""


def pack(sequence: int, kind: int, payload: bytes = b"") -> bytes:
    """One frame as bytes for the wire, its closing zero included."""
    body = bytes((sequence, kind)) + payload
    return cobs_encode(body + zlib.crc32(body).to_bytes(TAIL, "little")) + b"\0"


def unpack(chunk: bytes) -> tuple[int, int, bytes]:
    """Sequence number, type and payload of one frame without its closing zero. Raises DamagedFrame."""
    frame = cobs_decode(chunk)
    body = frame[:-TAIL]
    if len(body) < HEAD or zlib.crc32(body) != int.from_bytes(frame[-TAIL:], "little"):
        raise DamagedFrame
    return body[0], body[1], body[HEAD:]


def cobs_encode(data: bytes) -> bytes:
    """`data` in consistent overhead byte stuffing, without the closing zero."""
    out = bytearray()
    parts = data.split(b"\0")
    for last, part in _marked(parts):
        at = 0
        while len(part) - at > _BLOCK or (len(part) - at == _BLOCK and not last):
            out.append(255)
            out += part[at : at + _BLOCK]
            at += _BLOCK
        out.append(len(part) - at + 1)
        out += part[at:]
    return bytes(out)


def _marked(parts: list[bytes]) -> list[tuple[bool, bytes]]:
    return [(i == len(parts) - 1, part) for i, part in enumerate(parts)]


def cobs_decode(chunk: bytes) -> bytes:
    """The data of an encoded `chunk`. Raises DamagedFrame."""
    out = bytearray()
    at = 0
    end = len(chunk)
    if not end or 0 in chunk:
        raise DamagedFrame
    while at < end:
        code = chunk[at]
        if at + code > end:
            raise DamagedFrame
        out += chunk[at + 1 : at + code]
        at += code
        if code < 255 and at < end:
            out.append(0)
    return bytes(out)
