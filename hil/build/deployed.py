"""Images and trial games that were deployed from this machine: by which a bench recognises a board.

Each lies in one folder as NAME-SUM.uf2 or NAME-SUM.slot, with the names of what the game stores beside it.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import typer

from boards.pico_matrix import slots
from firmware.devices.store.key import key_of
from firmware.play.persistence import Keys
from hil.build import layout, staging
from hil.build.layout import Image
from hil.games import Game

SHORT = 12  # digits of a sum in a file's name


def folder() -> Path:
    """Where they lie; made when it is not there."""
    path = Path(typer.get_app_dir("inlane")) / "deployed"
    path.mkdir(parents=True, exist_ok=True)
    return path


def save_image(image: Image, game: Game) -> Path:
    """Put an image there; its file."""
    path = folder() / f"{game.name}-{image.sum[:SHORT]}.uf2"
    path.write_bytes(layout.to_uf2(image))
    _save_names(path, game)
    return path


def save_slot(slot: bytes, game: Game) -> Path:
    """Put a trial game there, as it lies in its slot; its file."""
    path = folder() / f"{game.name}-{staging.digest({'': slot}).hex()[:SHORT]}.slot"
    path.write_bytes(slot)
    _save_names(path, game)
    return path


@dataclass(frozen=True)
class Known:
    """What may be on a board: an image, and the trial game in use (b"" for none)."""

    image: Image
    slot: bytes

    def runs(self, game: Game, board: str) -> bool:
        """Whether firmware, board and game on it are the sources on this machine."""
        if self.image.engine != staging.digest(staging.engine_sources(board)):
            return False
        digest = staging.digest(staging.game_sources(game))
        return digest == (slot_digest(self.slot) if self.slot else self.image.game)


def slot_digest(slot: bytes) -> bytes:
    """SHA-256 over the sources of a trial game, from its header."""
    return slot[slots.DIGEST_AT : slots.HEADER]


def known(given: Path | None = None) -> Iterator[Known]:
    """Every image that was deployed, or the one in the file `given`, alone and with each trial game.

    Raises UsageError for a file that is no image.
    """
    found = [given] if given else sorted(folder().glob("*.uf2"))
    trials = [path.read_bytes() for path in sorted(folder().glob("*.slot"))]
    for path in found:
        image = layout.read(path)
        for slot in [b"", *trials]:
            yield Known(image, slot)


def is_known(record: bytes, given: Path | None = None) -> bool:
    """Whether the record in a board's flash is that of an image `known` here.

    Raises UsageError for a file `given` that is no image.
    """
    return any(found.image.record == record for found in known(given))


def stored_names() -> dict[int, str]:
    """What the numbers in a board's store are called, by key: of every game that was deployed."""
    names: dict[int, str] = {}
    for path in sorted(folder().glob("*.json")):
        names |= {key_of(name): name for name in json.loads(path.read_text())}
    return names


def names_of(game: Game) -> list[str]:
    """Every name that a game stores a number by."""
    asked: list[str] = []
    Keys(game.console().play, _Recorder(asked).key)
    return asked


class _Recorder:
    """A store that records the names it is asked for."""

    def __init__(self, asked: list[str]) -> None:
        self._asked = asked

    def key(self, name: str) -> str:
        """The name itself."""
        self._asked.append(name)
        return name


def _save_names(path: Path, game: Game) -> None:
    path.with_suffix(path.suffix + ".json").write_text(json.dumps(names_of(game)))
