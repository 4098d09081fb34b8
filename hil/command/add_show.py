"""`inlane add show`: a lamp show more, with its scripts and its line in the rule sheet."""

from typing import Annotated

import typer

from firmware.base.errors import UsageError
from hil import games
from hil.authoring import description
from hil.authoring.description import Entry
from hil.authoring.draft import Draft
from hil.authoring.facts import Facts, gather
from hil.command import add_rule

FEW = 4  # lamps of a show, where none are named and no row of them is found


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(show)


def show(
    title: Annotated[str, typer.Argument(help="What the show is called.")],
    started_by: Annotated[str, typer.Option(help="What starts it: a shot, a switch, another rule.")],
    to: Annotated[str, typer.Option("--to", help="The game, by name or folder.")] = ".",
    lamps: Annotated[
        str, typer.Option(help="Its lamps in their order, with commas; else the game's longest row.")
    ] = "",
    step: Annotated[str, typer.Option(help="How long each step is, from 130 ms.")] = "300 ms",
    lasts: Annotated[str, typer.Option("--for", help="How long it goes on.")] = "6 s",
    flasher: Annotated[str, typer.Option(help="A flasher that its last step pulses.")] = "",
) -> int:
    """Add a lamp show over lamps that the game has, as steps in time that may be edited.

    Example: inlane add show "Ramp Wave" --to ./my_game --started-by ramp --lamps top.1,top.2,top.3

    It is the kind `show` of `inlane add rule`: a feature with the rule kit's `Show`, two scripts, a line in
    the rule sheet and a sentence on the rule card. Existing files are never overwritten.
    """
    _name, folder, package = games.locate(to)
    draft = Draft(folder, package)
    block = description.begin(title, "the show's name")
    block.kind = "show"
    given = {
        "started by": (started_by, "--started-by"),
        "lamps": (lamps or ",".join(longest_row(gather(draft))), "--lamps"),
        "step": (step, "--step"),
        "for": (lasts, "--for"),
        "flasher": (flasher, "--flasher"),
    }
    block.entries.update({key: Entry(*said) for key, said in given.items() if said[0]})
    add_rule.write(draft, [block], to, folder)
    print(f"try: inlane check {to}, inlane play {to}")
    return 0


def longest_row(facts: Facts) -> list[str]:
    """The lamps of the longest row, such as top.1 to top.4; without rows the first few.

    Raises UsageError: the game has no lamps.
    """
    if not facts.lamps:
        raise UsageError("the game has no lamps for a show; inlane add bank adds some with their targets")
    rows: dict[str, list[str]] = {}
    for name in facts.lamps:
        stem, _, number = name.rpartition(".")
        if number.isdigit():
            rows.setdefault(stem, []).append(name)
    return max(rows.values(), key=len, default=list(facts.lamps)[:FEW])
