"""For a MicroPython image of one's own: the firmware and the Pico's board frozen in.

make BOARD=RPI_PICO FROZEN_MANIFEST=.../firmware/manifest.py
"""

include("$(PORT_DIR)/boards/manifest.py")  # type: ignore[name-defined]  # noqa: F821
package("firmware", base_path="..", opt=3)  # type: ignore[name-defined]  # noqa: F821
package("boards", files=("__init__.py",), base_path="..", opt=3)  # type: ignore[name-defined]  # noqa: F821
package("boards/pico_matrix", base_path="..", opt=3)  # type: ignore[name-defined]  # noqa: F821
