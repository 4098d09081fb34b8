"""`inlane measure board`: a first report from a Pico with an image, beside what the emulated chip gave."""

import json
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

import boards
from hil.build.prompt import Prompt

EMULATED = Path(boards.__path__[0]) / "pico_matrix" / "emulated.txt"
COMMAND = "from boards.pico_matrix import report\nreport.print_all()"


def register(app: typer.Typer) -> None:
    """Add the sub-command."""
    app.command()(board)


def board(
    on: Annotated[str, typer.Option(help="The board's serial port or pyserial URL.")],
    save: Annotated[Path | None, typer.Option(help="Write the figures to this file, too.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the figures as JSON.")] = False,
) -> int:
    """Figures of a Pico with an image, on its own or on a driver board: speed, memory, timer, flash.

    Example: inlane measure board --on /dev/ttyACM0 --save first_report.txt

    The program is broken into, everything off, and starts again afterwards. Nothing is energised. What its
    machine code makes of random contacts is compared by 'inlane measure twin --on PORT'.
    """
    with Console(stderr=True).status(f"asking {on}, some ten seconds"), Prompt(on) as prompt:
        text = prompt.run(COMMAND)
    found = figures(text)
    if save:
        save.write_text(text.replace("\r", ""))
    if as_json:
        print(json.dumps({name: number for name, (number, _) in found.items()}))
    else:
        Console().print(beside(found, figures(EMULATED.read_text())))
    return 0


def figures(text: str) -> dict[str, tuple[int, str]]:
    """Number and unit by name, from lines of name, number and unit."""
    rows = (line.split() for line in text.splitlines() if line and not line.startswith("#"))
    return {name: (int(number), unit) for name, number, unit in rows}


def beside(found: dict[str, tuple[int, str]], emulated: dict[str, tuple[int, str]]) -> Table:
    """The board's figures, the emulated chip's, and their ratio."""
    table = Table("figure", "board", "emulated", "ratio", "unit")
    for name, (number, unit) in found.items():
        other = emulated.get(name, (0, unit))[0]
        ratio = f"{number / other:.2f}" if other else "-"
        table.add_row(name.replace("_", " "), f"{number:,}", f"{other:,}" if other else "-", ratio, unit)
    return table
