"""`inlane circuit`: what a board's code has to know of the reference circuit."""

from pathlib import Path
from typing import Annotated

import typer

import boards
from hil.electrical.circuit import scales
from hil.electrical.circuit.sheets import circuit

BOARD = Path(boards.__path__[0]) / "pico_matrix"
STALE_EXIT = 1


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command("circuit")
    def write(
        out: Annotated[Path, typer.Option("--out", help="Folder for the module.")] = BOARD,
        check: Annotated[bool, typer.Option("--check", help="Write nothing, compare.")] = False,
    ) -> int:
        """Write the module of scales and thresholds that the board's code imports, from the netlist.

        Example: inlane circuit --check

        With --check the exit code is 1 when the module is not what the netlist gives.
        """
        path = out / scales.MODULE
        made = scales.text(circuit())
        if not check:
            path.write_text(made, encoding="utf-8")
            print(path)
        elif not path.is_file() or path.read_text(encoding="utf-8") != made:
            print(f"{path} is not what the netlist gives; 'inlane circuit' writes it anew")
            return STALE_EXIT
        return 0
