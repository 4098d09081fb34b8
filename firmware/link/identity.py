"""Who the device is: SHA-256 over a nonce and the bytes of its own files.

Each file counts as its path (UTF-8), a zero byte, its length (u32, little-endian), its bytes;
sorted by path. The firmware's files are called `firmware/…`, without the games that come with
it; those of the running game `game/…`, without `host` folders, which no board holds.
"""

import hashlib
import os

_SIZE = 6  # of a file, in what os.stat gives
_FOLDER = 0x4000  # type of a folder in what MicroPython's ilistdir gives
_PIECE = 512


def files_digest(nonce: "bytes | bytearray | memoryview", firmware: str, game: str) -> bytes:
    """The answer to `nonce` of a device that runs the files of these two folders."""
    sha = hashlib.sha256(nonce)
    piece = bytearray(_PIECE)
    _folder(sha, piece, firmware, "firmware")
    _folder(sha, piece, game, "game")
    return sha.digest()


def _folder(sha: "hashlib._Hash", piece: bytearray, place: str, name: str) -> None:
    for entry in _entries(place):
        path = place + "/" + entry
        called = name + "/" + entry
        if not entry.endswith("/"):
            _file(sha, piece, path, called)
        elif not _left_out(called):
            _folder(sha, piece, path[:-1], called[:-1])


def _left_out(folder: str) -> bool:
    return folder == "firmware/games/" or (folder.startswith("game/") and folder.endswith("/host/"))


def _entries(place: str) -> "list[str]":
    """Python files, and folders with a closing slash: sorted so, a walk meets paths in their order."""
    found = []
    listing: Listing = getattr(os, "ilistdir")  # noqa: B009 only MicroPython has it
    for name, kind, *_ in listing(place):
        if kind == _FOLDER:
            found.append(name + "/")
        elif name.endswith(".py"):
            found.append(name)
    return sorted(found)


def _file(sha: "hashlib._Hash", piece: bytearray, path: str, name: str) -> None:
    sha.update(name.encode() + b"\0" + int(os.stat(path)[_SIZE]).to_bytes(4, "little"))
    view = memoryview(piece)
    with open(path, "rb") as source:
        while True:
            n = source.readinto(piece)
            if not n:
                return
            sha.update(view[:n])


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    Listing = Callable[[str], Iterable[tuple[str, int, int]]]  # name, type, inode of each entry
