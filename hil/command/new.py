"""`inlane new`: a small clean game of one's own, from the devices it is to have."""

import keyword
import sys
from dataclasses import fields
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import UsageError
from hil.authoring.starter.begin import begin
from hil.authoring.starter.wanted import ASKED, Wanted


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(new)


def new(
    folder: Annotated[Path, typer.Argument(help="The folder to make; its name is the game's.")],
    balls: Annotated[int | None, typer.Option(help="Balls of a game.")] = None,
    in_machine: Annotated[int | None, typer.Option(help="Balls in the machine.")] = None,
    lanes: Annotated[int | None, typer.Option(help="Lanes at the top; 0 none.")] = None,
    bank: Annotated[int | None, typer.Option(help="Targets in a bank; 0 none.")] = None,
    drops: Annotated[int | None, typer.Option(help="Drop targets with one reset coil.")] = None,
    bumpers: Annotated[int | None, typer.Option(help="Bumpers; 0 none.")] = None,
    standups: Annotated[int | None, typer.Option(help="Single targets.")] = None,
    spinner: Annotated[bool | None, typer.Option(help="A spinner.")] = None,
    saucer: Annotated[bool | None, typer.Option(help="A saucer.")] = None,
    ramp: Annotated[bool | None, typer.Option(help="A ramp.")] = None,
    orbits: Annotated[bool | None, typer.Option(help="An orbit from each side.")] = None,
    lock: Annotated[int | None, typer.Option(help="A hole that locks so many balls.")] = None,
    gate: Annotated[bool | None, typer.Option(help="A drop target before a hole.")] = None,
    tunnel: Annotated[bool | None, typer.Option(help="A cellar whose balls come out at an exit.")] = None,
    wheel: Annotated[bool | None, typer.Option(help="A wheel of eight stops on a motor.")] = None,
    kickback: Annotated[bool | None, typer.Option(help="A coil in the left outlane.")] = None,
) -> None:
    """Make a game folder of your own that plays at once: a machine file, two rules, their scripts.

    Example: inlane new my_game --bank 3 --no-ramp, then inlane play ./my_game

    Without options a few questions are asked at a terminal. inlane add rule adds rules from descriptions.
    """
    given = {name: value for name, value in locals().items() if name != "folder" and value is not None}
    make(folder, given)


def make(folder: Path, given: "dict[str, int | bool]") -> None:
    """Make the game; what is not given is as usual, or asked at a terminal when nothing is given."""
    name = folder.resolve().name
    if not name.isidentifier() or keyword.iskeyword(name):
        raise UsageError(f"a game's folder is imported, so '{name}' has to be a Python name, such as my_game")
    if name in sys.stdlib_module_names or name in ("firmware", "boards", "simulator", "hil"):
        raise UsageError(f"'{name}' is the name of a package that is imported already; take another one")
    if folder.exists():
        raise UsageError(f"'{folder}' is there already; nothing was changed")
    wanted = Wanted.of(given) if given or not sys.stdin.isatty() else _asked()
    files = begin(folder.resolve(), wanted)
    print(f"made {folder}, {len(files)} files; try: inlane check {folder}, inlane play {folder}")


def _asked() -> Wanted:
    """Answers to a few questions; an empty one takes what is in brackets."""
    usual = {field.name: field.default for field in fields(Wanted)}
    given: dict[str, int | bool] = {}
    for name, question in ASKED:
        default = usual[name]
        assert isinstance(default, int)
        given[name] = typer.prompt(question, default=default, type=type(default))
    return Wanted.of(given)
