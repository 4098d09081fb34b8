"""The files of the stand-in for a playfield, laid out as they go onto the flash of its Pico.

    python -m hil.build.stand_in FOLDER

MicroPython's own release for a Pico goes on first; then `mpremote` copies the folder.
"""

import sys
from pathlib import Path

import boards
import firmware

PACKAGES = {"boards": Path(boards.__path__[0]), "firmware": Path(firmware.__path__[0])}
MODULES = (
    "boards/__init__.py",
    "boards/pico_matrix/__init__.py",
    "boards/pico_matrix/chip.py",
    "boards/pico_matrix/circuits.py",
    "boards/pico_matrix/line.py",
    "boards/pico_matrix/pins.py",
    "boards/pico_matrix/programs.py",
    "boards/pico_matrix/rp2040.py",
    "boards/pico_matrix/rp2350.py",
    "boards/stand_in/__init__.py",
    "boards/stand_in/contacts.py",
    "boards/stand_in/hardware.py",
    "boards/stand_in/main.py",
    "boards/stand_in/pins.py",
    "boards/stand_in/programs.py",
    "boards/stand_in/samples.py",
    "boards/stand_in/session.py",
    "firmware/__init__.py",
    "firmware/base/__init__.py",
    "firmware/base/crc.py",
    "firmware/base/ticks.py",
    "firmware/link/__init__.py",
    "firmware/link/cobs.py",
    "firmware/link/frames.py",
)
MAIN = b"from boards.stand_in.main import main\n\nmain()\n"


def files() -> dict[str, bytes]:
    """Content by path on the flash."""
    found = {"main.py": MAIN}
    for name in MODULES:
        package, _, path = name.partition("/")
        found[name] = (PACKAGES[package] / path).read_bytes()
    return found


def stage(folder: Path) -> int:
    """Write the files into `folder`, which is made; how many bytes."""
    for name, data in files().items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return sum(len(data) for data in files().values())


def main(words: list[str]) -> int:
    """The command; its exit code."""
    if len(words) != 1 or words[0].startswith("-"):
        print("usage: python -m hil.build.stand_in FOLDER", file=sys.stderr)
        return 2
    size = stage(Path(words[0]))
    print(f"wrote {size:,} bytes; now: mpremote connect PORT fs cp -r {words[0]}/. : + reset")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
