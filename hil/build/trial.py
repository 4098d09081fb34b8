"""A game on trial: packed as a ROMFS, sent into the idle slot of a board's flash, checked, switched to."""

import base64
import struct
from binascii import crc32
from collections.abc import Callable
from pathlib import Path

from mpremote.romfs import VfsRomWriter

from boards.pico_matrix import flash, slots
from firmware.base.errors import LinkError, UsageError
from hil.build import native, staging
from hil.build.prompt import Prompt
from hil.games import Game

PACKAGE_SIZE = slots.DIGEST_AT - slots.PACKAGE_AT


def romfs(game: Game, compiler: Path, arch: str) -> bytes:
    """The game's modules, compiled, with its packed charts. Raises GameError for what cannot be compiled."""
    files = staging.game_sources(game) | {"packed_charts.py": staging.written(game)["packed_charts.py"]}
    writer = VfsRomWriter()
    _fill(writer, {name: native.compiled(data, name, compiler, arch) for name, data in files.items()}, "")
    return bytes(writer.finalise())


def header(game: Game) -> bytes:
    """The slot's header; its numbers, which the board fills in, are zero."""
    package = game.package.encode().ljust(PACKAGE_SIZE, b"\0")
    return (
        slots.MAGIC
        + bytes(slots.PACKAGE_AT - len(slots.MAGIC))
        + package
        + staging.digest(staging.game_sources(game))
    )


def send(prompt: Prompt, head: bytes, content: bytes, progress: Callable[[int], None]) -> bytes:
    """Write the slot that is not in use, check it, switch to it; header and ROMFS as they lie there now.

    `progress` is given per cent. Raises LinkError when the board does not confirm, UsageError for a game
    that is too long for a slot.
    """
    if len(content) > flash.SLOT - flash.SECTOR:
        raise UsageError(f"the game takes {len(content):,} B; a slot has {flash.SLOT - flash.SECTOR:,}")
    prompt.run("from boards.pico_matrix import slots; from binascii import a2b_base64 as b")
    slot = int(prompt.run("print(slots.begin())"))
    blocks = range(0, len(content), flash.SECTOR)
    for number, at in enumerate(blocks):
        piece = base64.b64encode(content[at : at + flash.SECTOR]).decode()
        prompt.run(f"slots.write({slot}, {number}, b('{piece}'))")
        progress(100 * (number + 1) // len(blocks))
    done = prompt.run(f"print(slots.finish({slot}, {len(content)}, {crc32(content)}, {head!r}))")
    if done.strip() != "True":
        raise LinkError("the board read back something else than was sent; the game before is still in use")
    return _as_it_lies(prompt, slot, head, content)


def _as_it_lies(prompt: Prompt, slot: int, head: bytes, content: bytes) -> bytes:
    sequence = int(prompt.run(f"print(slots._sequence({slot}))"))
    numbers = struct.pack("<III", sequence, len(content), crc32(content))
    whole = slots.MAGIC + numbers + head[slots.PACKAGE_AT :]
    return whole.ljust(flash.SECTOR, b"\0") + content


def _fill(writer: VfsRomWriter, files: dict[str, bytes], below: str) -> None:
    """Folders before files, each sorted."""
    folders = sorted({name[len(below) :].partition("/")[0] for name in files if "/" in name[len(below) :]})
    for folder in folders:
        inside = {name: data for name, data in files.items() if name.startswith(f"{below}{folder}/")}
        writer.opendir(folder)
        _fill(writer, inside, f"{below}{folder}/")
        writer.closedir()
    for name in sorted(name for name in files if "/" not in name[len(below) :]):
        writer.mkfile(name[len(below) :].removesuffix(".py") + ".mpy", files[name])
