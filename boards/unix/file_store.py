"""A store in one text file: what a machine keeps through power loss, for the desk and the unix board.

    inlane kept 1
    game honey_flow
    setting.balls 3
    …
    sum 5f70bf18a086007016e948b04aed3b82103a36bea41755b6cddfaf10ace3c6ef

`sum` is SHA-256 over the lines before it. A save is written beside the file, then renamed over it, so
that the file is always wholly old or wholly new; the save before stays as FILE.before.
"""

import hashlib
import os

FIRST = "inlane kept 1"
SUM = "sum "
GAME = "game "
BEFORE = ".before"
NEW = ".new"


class FileStore:
    """A store (see firmware.play.persistence) in the file at `path`, of the game called `game`."""

    def __init__(self, path: str, game: str) -> None:
        self.lost: list[str] = []
        self._path = path
        self._game = game

    def key(self, name: str) -> str:
        """The name itself."""
        return name

    def load(self) -> "dict[str, int]":
        """The last whole save; the one before when that is damaged; {} when there is none."""
        self.lost = []
        for path in (self._path, self._path + BEFORE):
            text = _read(path)
            if text is None:
                continue
            fault, game, values = parse(text)
            if fault:
                self.lost.append(path + ": " + fault)
            elif game != self._game:
                self.lost.append(path + ": it belongs to the game '" + game + "'")
            else:
                return values
        return {}

    def save(self, pairs: "Iterable[tuple[str, int]]") -> None:
        """Keep this instead. Raises OSError when the disk does not take it: the old save remains."""
        text = compose(self._game, pairs)
        with open(self._path + NEW, "w") as file:
            file.write(text)
            file.flush()
            if hasattr(os, "fsync"):
                os.fsync(file.fileno())
        fault = parse(_read(self._path) or "")[0]
        if not fault:
            os.rename(self._path, self._path + BEFORE)
        os.rename(self._path + NEW, self._path)


def compose(game: str, pairs: "Iterable[tuple[str, int]]") -> str:
    """The text of a save."""
    lines = [FIRST, GAME + game]
    lines += sorted([name + " " + str(n) for name, n in pairs])
    text = "\n".join(lines) + "\n"
    return text + SUM + digest(text) + "\n"


def parse(text: str, trusting: bool = False) -> "tuple[str, str, dict[str, int]]":
    """What is wrong ("" when nothing is), the game, the values. `trusting`: the sum need not fit."""
    lines = text.split("\n")
    if lines[0] != FIRST:
        return f"line 1 is '{lines[0][:40]}', not '{FIRST}'", "", {}
    if len(lines) < 2 or not lines[1].startswith(GAME):
        return "line 2 does not name the game", "", {}
    values = {}
    ends = False
    for at in range(2, len(lines)):
        line = lines[at]
        if ends or (not line and at == len(lines) - 1):
            continue
        if line.startswith(SUM):
            ends = True
            before = "\n".join(lines[:at]) + "\n"
            if not trusting and line[len(SUM) :] != digest(before):
                return "its sum does not fit its lines: it was damaged or changed", "", {}
            continue
        name, _, number = line.partition(" ")
        if not name or not _is_number(number):
            return f"line {at + 1} is '{line[:40]}', not a name and a whole number", "", {}
        values[name] = int(number)
    if not ends and not trusting:
        return "it ends without its sum: it was cut off", "", {}
    return "", lines[1][len(GAME) :], values


def digest(text: str) -> str:
    """SHA-256 in hexadecimal."""
    return "".join([f"{byte:02x}" for byte in hashlib.sha256(text.encode()).digest()])


def _is_number(text: str) -> bool:
    digits = text[1:] if text.startswith("-") else text
    return len(digits) <= 10 and all("0" <= digit <= "9" for digit in digits) and digits != ""


def _read(path: str) -> "str | None":
    try:
        with open(path, "rb") as file:
            return file.read().decode()
    except OSError:
        return None
    except UnicodeError:
        return "not text"


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable
