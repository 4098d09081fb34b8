"""The linker script and the source tree that images are built from."""

import importlib
import re
from pathlib import Path

import pytest

from boards.pico_matrix import flash
from firmware.base import crash
from firmware.base.errors import UsageError
from hil.build import chips, linking, release, staging
from hil.build.chips import Chip
from hil.build.image import DEFINITION

BOTH = pytest.mark.parametrize("chip", chips.CHIPS.values(), ids=lambda chip: chip.name)
HEADER = """
#define MICROPY_VERSION_MAJOR 1
#define MICROPY_VERSION_MINOR {minor}
#define MICROPY_VERSION_MICRO 0
#define MICROPY_VERSION_PRERELEASE {preview}
"""


def expected(chip: Chip) -> str:
    return "\n".join(before for before, _ in (*chip.changes, *linking.CHANGES))


def tree(folder: Path, scripts: dict[str, str] | None = None, minor: int = 28, preview: int = 0) -> Path:
    for name in ("py", "ports/rp2", *(f"lib/{name}" for name in release.MODULES)):
        (folder / name).mkdir(parents=True)
        (folder / name / "readme").write_text("")
    (folder / "py/mpconfig.h").write_text(HEADER.format(minor=minor, preview=preview))
    for chip in chips.CHIPS.values():
        (folder / "ports/rp2" / chip.script).write_text((scripts or {}).get(chip.name, expected(chip)))
    return folder


@BOTH
def test_memory_adds_up_to_what_the_chip_has(chip: Chip, tmp_path: Path) -> None:
    """SRAM from 0x20000000 on: 264 KB (RP2040 datasheet, 2.6.2) and 520 (RP2350 datasheet, 2.2.3; mem)."""
    text = linking.script(tree(tmp_path), chip)
    found = re.findall(r"(RAM|SCRATCH_Y)\(rwx\) : ORIGIN = +(\w+), LENGTH = (\d+)k", text)
    (ram, start, ram_k), (stack, bottom, stack_k) = found
    assert (ram, stack, stack_k) == ("RAM", "SCRATCH_Y", "16")
    size = {"rp2040": 264, "rp2350": 520}[chip.name]
    assert int(start, 16) == 0x20000000
    assert int(bottom, 16) + 16 * 1024 == 0x20000000 + size * 1024
    record = importlib.import_module(f"boards.pico_matrix.{chip.name}").CRASH_RECORD
    assert int(start, 16) + int(ram_k) * 1024 == record
    assert record + crash.SIZE == int(bottom, 16)


@BOTH
def test_a_script_that_is_not_the_expected_one_is_refused(chip: Chip, tmp_path: Path) -> None:
    for number, (before, _) in enumerate((*chip.changes, *linking.CHANGES)):
        script = expected(chip).replace(before, "")
        folder = tree(tmp_path / str(number), {chip.name: script})
        with pytest.raises(UsageError, match="another release"):
            linking.script(folder, chip)


@BOTH
def test_the_board_definition_has_what_the_chip_s_build_asks_for(chip: Chip) -> None:
    definition = staging.BOARDS / "pico_matrix" / DEFINITION
    names = {path.name for path in definition.iterdir()}
    assert {"mpconfigboard.cmake", "mpconfigboard.h", "pins.csv", "manifest.py"} <= names
    variant = f"mpconfigvariant_{chip.variant}.cmake" if chip.variant else "mpconfigboard.cmake"
    text = "".join((definition / name).read_text() for name in ("mpconfigboard.cmake", variant))
    assert re.findall(r'set\(PICO_PLATFORM "(\w+)"\)', text)[-1] == chip.name


def test_files_have_what_the_flash_leaves_behind_code_and_slots() -> None:
    """So the flash is laid out alike on both chips, however large it is: 2 MB on a Pico, 4 MB on a Pico 2."""
    text = (staging.BOARDS / "pico_matrix" / DEFINITION / "mpconfigboard.h").read_text()
    [slots] = re.findall(r"MICROPY_HW_ROMFS_BYTES +\((\d+) \* 1024\)", text)
    [before] = re.findall(r"MICROPY_HW_FLASH_STORAGE_BYTES +\(PICO_FLASH_SIZE_BYTES - (\d+) \* 1024\)", text)
    assert int(slots) * 1024 == 2 * flash.SLOT
    assert int(before) * 1024 == flash.CODE + 2 * flash.SLOT


def test_an_unknown_chip_is_named_with_those_that_there_are() -> None:
    with pytest.raises(UsageError, match="no chip 'rp2041' for this board; known are rp2040, rp2350"):
        chips.named("rp2041")


def test_the_right_tree_is_taken_and_others_are_named(tmp_path: Path) -> None:
    release.check_tree(tree(tmp_path / "right"))
    with pytest.raises(UsageError, match=r"holds MicroPython 1\.27\.0; images are built from release"):
        release.check_tree(tree(tmp_path / "old", minor=27))
    with pytest.raises(UsageError, match=r"1\.28\.0-preview"):
        release.check_tree(tree(tmp_path / "early", preview=1))
    with pytest.raises(UsageError, match="does not hold MicroPython's sources"):
        release.check_tree(tmp_path)
    bare = tree(tmp_path / "bare")
    (bare / "lib/tinyusb/readme").unlink()
    with pytest.raises(UsageError, match="tinyusb is empty; run: make"):
        release.check_tree(bare)


def test_missing_tools_are_named_with_what_to_install(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(UsageError) as refused:
        release.check_tools()
    for words in (
        "cmake (the build)",
        "apt-get install",
        "gcc-arm-none-eabi",
        "brew install",
        "replay --image",
    ):
        assert words in str(refused.value)
