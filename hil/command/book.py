"""`inlane book`: the pages of the book, which are installed with the package."""

import difflib
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import UsageError

FOLDER = Path(__file__).parents[1] / "authoring" / "book"
TITLE = "# "


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(book)


def book(
    page: Annotated[str, typer.Argument(help="A page, by name or number; else all are listed.")] = "",
) -> None:
    """List the pages of the book, or print one.

    Example: inlane book

    Example: inlane book 2

    Example: inlane book questions
    """
    pages = sorted(FOLDER.glob("*.md"))
    if page:
        print(_find(pages, page).read_text(encoding="utf-8"), end="")
        return
    width = max(len(path.stem) for path in pages)
    for path in pages:
        print(f"{path.stem.ljust(width)}  {_title(path)}")
    print(f"\ninlane book NAME prints a page; the files are in {FOLDER}")


def _title(path: Path) -> str:
    return path.read_text(encoding="utf-8").partition("\n")[0].removeprefix(TITLE)


def _find(pages: list[Path], name: str) -> Path:
    """The page of this name or number. Raises UsageError with the near miss."""
    wanted = name.removesuffix(".md").lower()
    for path in pages:
        number, _, words = path.stem.partition("_")
        if wanted in (path.stem, number, words):
            return path
    near = difflib.get_close_matches(wanted, [path.stem for path in pages], 1, 0.4)
    hint = f"did you mean '{near[0]}'?" if near else "inlane book lists all"
    raise UsageError(f"the book has no page '{name}'; {hint}")
