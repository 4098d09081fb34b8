"""What the desk shows of the game's files: what was saved and taken up, or why it was not."""

from typing import NamedTuple


class Line(NamedTuple):
    """A line of a file: its number, from 1, and its text."""

    number: int
    text: str


class FilesReport(NamedTuple):
    """The last thing that happened to the game's files.

    `where` is FILE:LINE of an error, `source` that line, `rows` those of the chart that name what failed;
    `remarks`: what could not be kept, or what else is wrong.
    """

    title: str
    words: str
    is_bad: bool = False
    where: str = ""
    source: Line | None = None
    rows: tuple[Line, ...] = ()
    remarks: tuple[str, ...] = ()


UNWATCHED = FilesReport("not watched", "With --kept, what is saved is taken up by the next start.")
WATCHED = FilesReport(
    "watched", "Save a file of the game: check looks at it, and the desk goes on with it where it is."
)
