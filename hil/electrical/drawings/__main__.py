"""Write the reference circuit's sheets and parts list: python -m hil.electrical.drawings FOLDER"""

import sys
from pathlib import Path

from firmware.base.errors import InlaneError
from hil.electrical.drawings.circuit import write

USAGE_EXIT = 2

if __name__ == "__main__":
    if len(sys.argv) != 2:
        print(__doc__, file=sys.stderr)
        sys.exit(USAGE_EXIT)
    try:
        for path in write(Path(sys.argv[1])):
            print(path)
    except InlaneError as error:
        print(error, file=sys.stderr)
        sys.exit(USAGE_EXIT)
