"""Write the reference circuit's sheets, parts list and netlist: python -m hil.electrical.drawings FOLDER"""

import sys
from pathlib import Path

from firmware.base.errors import InlaneError
from hil.electrical.circuit.sheets import SHEETS, circuit
from hil.electrical.circuit.write import write
from hil.electrical.drawings.layout import sheet

USAGE_EXIT = 2


def main(folder: Path) -> None:
    """Write everything into `folder`, printing each file. Raises UsageError."""
    whole = circuit()
    for path in write(whole, folder):
        print(path)
    for name in SHEETS:
        path = folder / f"{name}.svg"
        sheet(whole, name).write(path)
        print(path)


if __name__ == "__main__":
    if len(sys.argv) != 2:
        print(__doc__, file=sys.stderr)
        sys.exit(USAGE_EXIT)
    try:
        main(Path(sys.argv[1]))
    except InlaneError as error:
        print(error, file=sys.stderr)
        sys.exit(USAGE_EXIT)
