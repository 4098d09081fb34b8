"""`inlane card`: the rule card and the values table, from the game itself."""

from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import UsageError
from hil import games
from hil.reports import card

WRITERS = {".txt": card.as_text, ".md": card.as_markdown, ".svg": card.as_svg}


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(write)


def write(
    game: Annotated[str, typer.Argument(help="Game, by name or folder.")] = "honey_flow",
    out: Annotated[
        Path | None, typer.Option(help="A .txt, .md or .svg file; the terminal otherwise.")
    ] = None,
    setting: Annotated[list[str] | None, typer.Option("--set", help="A setting: NAME=VALUE.")] = None,
) -> None:
    """Write the rule card with the present settings.

    Example: inlane card honey_flow --out card.svg --set balls=5
    """
    settings = {}
    for text in setting or []:
        name, equals, value = text.partition("=")
        if not equals or not value.isdigit():
            raise UsageError(f"--set takes NAME=VALUE with a whole number, not '{text}'")
        settings[name] = int(value)
    made = card.card_of(games.load(game), settings)
    if out is None:
        print(card.as_text(made), end="")
        return
    if out.suffix not in WRITERS:
        raise UsageError(f"--out ends in {', '.join(WRITERS)}, not '{out.name}'")
    out.write_text(WRITERS[out.suffix](made), encoding="utf-8")
    print(f"wrote {out}")
