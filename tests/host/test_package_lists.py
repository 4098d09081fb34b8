"""What is frozen into an image, and what the package manager fetches: all that runs there, no more."""

import json
from pathlib import Path

import firmware
from hil.bundle import compiling

ROOT = Path(firmware.__path__[0])


def runs_on_a_board() -> set[str]:
    paths = [path.relative_to(ROOT) for path in ROOT.rglob("*.py")]
    return {path.as_posix() for path in paths if "host" not in path.parts and path.name != "manifest.py"}


def test_the_package_lists_every_firmware_file_and_none_of_the_host() -> None:
    listed = json.loads((ROOT / "package.json").read_text())["urls"]
    assert [target for target, _ in listed] == [f"firmware/{source}" for _, source in listed]
    assert {source for _, source in listed} == runs_on_a_board()


def test_the_manifest_freezes_what_compiles_and_none_of_the_host(monkeypatch) -> None:
    frozen: dict[str, tuple[str, ...]] = {}
    monkeypatch.chdir(ROOT)  # as MicroPython's build does

    def package(name: str, files: tuple[str, ...], base_path: str, opt: int) -> None:
        frozen[name] = tuple(files)

    exec((ROOT / "manifest.py").read_text(), {"include": lambda path: None, "package": package})
    assert set(frozen["firmware"]) == runs_on_a_board()
    assert "check.py" not in frozen["boards/pico_matrix"]
    assert "main.py" in frozen["boards/pico_matrix"]
    for name in frozen["boards/pico_matrix"]:
        source = (ROOT.parent / "boards" / "pico_matrix" / name).read_text()
        assert compiling.compiled(source, name, "armv6m")
