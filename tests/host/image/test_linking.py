"""The linker script and the source tree that images are built from."""

from pathlib import Path

import pytest

from firmware.base.errors import UsageError
from hil.build import linking, release

EXPECTED = "\n".join(before for before, _ in linking.CHANGES)
HEADER = """
#define MICROPY_VERSION_MAJOR 1
#define MICROPY_VERSION_MINOR {minor}
#define MICROPY_VERSION_MICRO 0
#define MICROPY_VERSION_PRERELEASE {preview}
"""


def tree(folder: Path, script: str = EXPECTED, minor: int = 28, preview: int = 0) -> Path:
    for name in ("py", "ports/rp2", *(f"lib/{name}" for name in release.MODULES)):
        (folder / name).mkdir(parents=True)
        (folder / name / "readme").write_text("")
    (folder / "py/mpconfig.h").write_text(HEADER.format(minor=minor, preview=preview))
    (folder / "ports/rp2" / linking.SCRIPT).write_text(script)
    return folder


def test_memory_adds_up_to_the_chips_264_kilobytes(tmp_path: Path) -> None:
    """RP2040 datasheet, 2.6.2 (mem): 264 KB of SRAM from 0x20000000 on."""
    made = linking.script(tree(tmp_path))
    assert "LENGTH = 247k" in made
    assert "ORIGIN = 0x2003E000, LENGTH = 16k" in made
    assert 0x20000000 + 247 * 1024 + 1024 == 0x2003E000
    assert 0x2003E000 + 16 * 1024 == 0x20000000 + 264 * 1024


def test_a_script_that_is_not_the_expected_one_is_refused(tmp_path: Path) -> None:
    for number, (before, _) in enumerate(linking.CHANGES):
        folder = tree(tmp_path / str(number), EXPECTED.replace(before, ""))
        with pytest.raises(UsageError, match="another release"):
            linking.script(folder)


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
