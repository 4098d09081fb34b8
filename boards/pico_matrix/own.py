"""Who this board is: SHA-256 over a nonce and the files that `inlane deploy` put on it.

Each file of /lib and /main.py counts as its path, a zero byte, its length (u32, little-endian), its
bytes; sorted by path. The host makes the same files again and compares.
"""

import hashlib
import os

_FOLDER = 0x4000
_PIECE = 512


def answer(nonce: "bytes | bytearray | memoryview") -> bytes:
    """The answer to `nonce`."""
    sha = hashlib.sha256(nonce)
    piece = bytearray(_PIECE)
    for path in files():
        sha.update(path.encode() + b"\0" + os.stat(path)[6].to_bytes(4, "little"))
        view = memoryview(piece)
        with open(path, "rb") as source:
            n = source.readinto(piece)
            while n:
                sha.update(view[:n])
                n = source.readinto(piece)
    return sha.digest()


def files() -> "list[str]":
    """Paths of what was deployed, sorted."""
    found = ["/main.py"]
    folders = ["/lib"]
    while folders:
        folder = folders.pop()
        for entry in os.ilistdir(folder):
            path = folder + "/" + entry[0]
            if entry[1] == _FOLDER:
                folders.append(path)
            else:
                found.append(path)
    return sorted(found)
