"""`inlane new`: a small clean game of one's own, from the devices it is to have."""

import keyword
import sys
from dataclasses import fields
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import UsageError
from hil import games
from hil.authoring.copying import copy
from hil.authoring.errors import DescriptionError
from hil.authoring.starter.begin import begin, begin_from
from hil.authoring.starter.wanted import ASKED, Wanted, check_one
from hil.bench.outcome import FAIL, PASS
from hil.command.names import write_new
from hil.electrical.harness import reading
from hil.machine.from_harness.text import text as from_harness

HarnessOption = Annotated[
    Path | None, typer.Option(help="A CSV of an old machine's harness: its devices, instead of these.")
]
DISPLAYS_HELP = "text: two lines of letters; digits: one of seven digits a player, and a small one."
LikeOption = Annotated[str, typer.Option(help="A game to copy, by name or folder, instead of these.")]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(new)


def new(
    folder: Annotated[Path, typer.Argument(help="The folder to make; its name is the game's.")],
    balls: Annotated[int | None, typer.Option(help="Balls of a game.")] = None,
    in_machine: Annotated[int | None, typer.Option(help="Balls in the machine.")] = None,
    players: Annotated[int | None, typer.Option(help="Players at most, 1 to 4.")] = None,
    displays: Annotated[str | None, typer.Option(help=DISPLAYS_HELP)] = None,
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
    harness: HarnessOption = None,
    like: LikeOption = "",
) -> int:
    """Make a game folder of your own that plays at once: a machine file, two rules, their scripts.

    Example: inlane new my_game --bank 3 --no-ramp, then inlane play ./my_game

    Without options a few questions are asked at a terminal. With --harness each shot has points, and each
    bank or row of lanes a small rule; exit code 1 while anything of it is refused. With --like it is a copy.
    inlane add rule adds rules from descriptions.
    """
    options = dict(locals())
    given = {each.name: options[each.name] for each in fields(Wanted) if options.get(each.name) is not None}
    return _make_any(folder, harness, like, given)


def _make_any(folder: Path, harness: Path | None, like: str, given: "dict[str, int | str]") -> int:
    """Make the game of a harness, as a copy, or of the devices that are given."""
    if like and (given or harness is not None):
        raise UsageError("--like copies a game as it is; beside it no other option is taken")
    if harness is not None:
        return make_from_harness(folder, harness, given)
    if like:
        make_like(folder, like)
    else:
        make(folder, given)
    return PASS


def make(folder: Path, given: "dict[str, int | str]") -> None:
    """Make the game; what is not given is as usual, or asked at a terminal when nothing is given."""
    check_folder(folder)
    wanted = Wanted.of(given) if given or not sys.stdin.isatty() else _asked()
    _say(folder, begin(folder.resolve(), wanted))


def make_like(folder: Path, like: str) -> None:
    """Make the game as a copy of another."""
    check_folder(folder)
    _say(folder, copy(games.load(like), folder.resolve()))


def make_from_harness(folder: Path, harness: Path, given: "dict[str, int | str]") -> int:
    """Make the game of an old machine's harness; every finding is printed.

    What does not fit ends it; a coil that may not be energised does not, but the exit code is 1 then too.
    """
    if set(given) - {"balls"}:
        raise UsageError("--harness tells the devices; beside it only --balls is taken")
    check_folder(folder)
    text, findings = from_harness(reading.read(harness), folder.resolve().name.replace("_", " ").capitalize())
    for finding in findings:
        typer.echo(str(finding), err=True)
    if not text:
        typer.echo("nothing is written while something is refused", err=True)
        return FAIL
    _say(folder, begin_from(folder.resolve(), text, int(given.get("balls", Wanted.balls))))
    if any(finding.refused for finding in findings):
        typer.echo("it plays; the coils refused above may not be energised until that is mended", err=True)
        return FAIL
    return PASS


def check_folder(folder: Path) -> None:
    """Raises UsageError: the folder is there already, or its name cannot be imported."""
    name = folder.resolve().name
    if not name.isidentifier() or keyword.iskeyword(name):
        raise UsageError(f"a game's folder is imported, so '{name}' has to be a Python name, such as my_game")
    if name in sys.stdlib_module_names or name in ("firmware", "boards", "simulator", "hil"):
        raise UsageError(f"'{name}' is the name of a package that is imported already; take another one")
    if folder.exists():
        raise UsageError(f"'{folder}' is there already; nothing was changed")


def _say(folder: Path, files: list[str]) -> None:
    files = [*files, *write_new(folder)]
    print(f"made {folder}, {len(files)} files; try: inlane check {folder}, inlane play {folder}")


def _asked() -> Wanted:
    """Answers to a few questions; an empty one takes what is in brackets."""
    usual: dict[str, int | str] = {field.name: getattr(Wanted, field.name) for field in fields(Wanted)}
    return Wanted.of({name: _answer(name, question, usual[name]) for name, question in ASKED})


def _answer(name: str, question: str, usual: int | str) -> int | str:
    """One answer; one that is out of its range is asked for again."""
    while True:
        if isinstance(usual, bool):
            return typer.confirm(question, default=usual)
        given: int | str = typer.prompt(question, default=usual, type=type(usual))
        try:
            check_one(name, given)
        except DescriptionError as error:
            typer.echo(error.text)
        else:
            return given
