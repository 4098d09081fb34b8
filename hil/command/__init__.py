"""The `inlane` command: one module for each sub-command, imported only when that one runs."""

import importlib
import platform
import sys
from contextlib import AbstractContextManager
from importlib import metadata
from types import ModuleType
from typing import Annotated, Protocol, cast

import typer
from typer.core import TyperCommand, TyperGroup

from firmware.base.errors import InlaneError, LinkError
from hil import compiled
from hil.command import extras

COMMANDS = {
    "play": "Play a game at the desk, or draw a script's last picture without a screen.",
    "new": "Begin a small game of your own from its devices.",
    "machine": "Make a game's tables from its machine file.",
    "names": "Write what an editor needs to complete a game's names.",
    "add": "Add a device to a game's machine file, or a rule or lamp show to a game.",
    "replay": "Replay switch scripts on a target and judge them.",
    "watch": "Look at a board while it plays by itself: contacts, lamps, coils, windows, awards, faults.",
    "shrink": "Shrink a script that fails to the smallest one that fails in the same way.",
    "check": "Check a game's wiring, charts and scripts.",
    "faults": "Plant faults one at a time; the scripts must catch each.",
    "mutants": "Change the firmware at random places; a check must notice each.",
    "quicken": "Compile the firmware's inner modules for this Python, for long seasons.",
    "season": "Play many games by players of a given skill, each judged.",
    "tune": "Say what each feature is worth, and what a setting changes.",
    "card": "Write the rule card and the values table from the game.",
    "keep": "Show, back up and restore what a machine keeps through power loss.",
    "image": "Build the image of a board: MicroPython, firmware and game in one file.",
    "deploy": "Put a game on a board.",
    "bring-up": "Have a board drive one coil alone at low voltage, until it was seen to fail safe.",
    "draw": "Draw a game's statecharts.",
    "measure": "Measure speed, memory and reliability.",
    "coil": "Work out a coil's currents, heat, fuse and limits.",
    "circuit": "Write what a board's code has to know of the reference circuit.",
    "book": "List the pages of the book, or print one: from the first game to a repair.",
    "kit": "Say what the parts of the rule kit are for, each with an example and its chart.",
    "wiring": "Work sheets for a game's wiring, and a look at an existing harness.",
}

PLAYS_MANY = ("season", "tune")  # they use compiled modules; other commands look into sources

# What a wrong word or option raises: a class of click, which typer has in different places by its version.
REFUSAL: type[Exception] = next(c for c in typer.BadParameter.__mro__ if c.__name__ == "ClickException")

USAGE_EXIT = 2
INVALID_EXIT = 3


class Refusal(Protocol):
    """What click promises of the exceptions in REFUSAL."""

    def show(self) -> None:
        """Print the sentence and where help is to be had."""


class HelpWriter(Protocol):
    """What click promises of the writer of a help page."""

    def section(self, name: str) -> AbstractContextManager[None]:
        """A section with a heading for what is written inside."""

    def write_dl(self, rows: list[tuple[str, str]]) -> None:
        """A list of terms with their definitions."""


class _OnDemand(TyperGroup):
    """Lists every sub-command, imports only the one that runs."""

    def list_commands(self, ctx: object) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: object, name: str) -> TyperCommand | TyperGroup | None:
        if name not in COMMANDS:
            return None
        module = _module(name)
        app = typer.Typer(add_completion=False, rich_markup_mode=None)
        module.register(app)
        command = typer.main.get_command(app)
        assert isinstance(command, (TyperCommand, TyperGroup))
        command.name = name
        command.short_help = COMMANDS[name]
        return command

    def format_commands(self, ctx: object, formatter: HelpWriter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


def _module(name: str) -> ModuleType:
    """The module of a sub-command. Raises UsageError when a package of an extra is missing."""
    if name not in PLAYS_MANY:
        compiled.leave()
    try:
        return importlib.import_module(f"hil.command.{name.replace('-', '_')}")
    except ModuleNotFoundError as error:
        raise extras.refusal(name, error) from None


app = typer.Typer(cls=_OnDemand, no_args_is_help=True, rich_markup_mode=None)


def _print_version(wanted: bool) -> None:
    if wanted:
        print(f"inlane {metadata.version('inlane')}, Python {platform.python_version()}")
        raise typer.Exit


ShowVersion = Annotated[
    bool, typer.Option("--version", callback=_print_version, is_eager=True, help="Show the version and exit.")
]


@app.callback()
def _inlane(version: ShowVersion = False) -> None:
    """Rules, desk and bench for a pinball machine. Begin with: inlane book 1

    Example: inlane play honey_flow
    """


def main() -> None:
    """Run the command line; one sentence and an exit code when something is wrong."""
    try:
        code = app(prog_name="inlane", standalone_mode=False)
    except InlaneError as error:
        print(error, file=sys.stderr)
        sys.exit(INVALID_EXIT if isinstance(error, LinkError) else USAGE_EXIT)
    except REFUSAL as error:
        cast(Refusal, error).show()
        sys.exit(USAGE_EXIT)
    except (typer.Abort, KeyboardInterrupt):
        print("stopped", file=sys.stderr)
        sys.exit(130)
    sys.exit(code if isinstance(code, int) else 0)
