"""For a MicroPython image of one's own: the firmware and the Pico's board frozen in, a game beside them.

make BOARD=RPI_PICO FROZEN_MANIFEST=.../firmware/manifest.py
"""

from pathlib import Path

include("$(PORT_DIR)/boards/manifest.py")  # type: ignore[name-defined]  # noqa: F821
for name, left_out in (("firmware", ("host", "manifest.py")), ("boards/pico_matrix", ("check.py",))):
    folder = Path("..", name)
    files = [path.relative_to(folder) for path in sorted(folder.rglob("*.py"))]
    kept = [path.as_posix() for path in files if not set(path.parts) & set(left_out)]
    package(name, files=kept, base_path="..", opt=3)  # type: ignore[name-defined]  # noqa: F821
package("boards", files=("__init__.py",), base_path="..", opt=3)  # type: ignore[name-defined]  # noqa: F821
