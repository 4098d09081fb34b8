"""The `inlane` command: one module a sub-command, imported when it is asked for."""

import importlib
import sys
from typing import Any

import typer
from typer.core import TyperGroup

from firmware.base.errors import InlaneError, LinkError

COMMANDS = {
    "play": "Play a game at the desk, or draw a script's last picture without a screen.",
    "new": "Begin a game of your own from a small one.",
    "replay": "Replay switch scripts on a target and judge them.",
    "check": "Check a game's wiring, charts and scripts.",
    "faults": "Plant faults one at a time; the scripts must catch each.",
    "season": "Play many games by players of a given skill, each judged.",
    "card": "Write the rule card and the values table from the game.",
    "keep": "Show, back up and restore what a machine keeps through power loss.",
    "image": "Build the image of a board: MicroPython, firmware and game in one file.",
    "deploy": "Put a game on a board.",
    "draw": "Draw a game's statecharts.",
    "measure": "Measure speed, memory and reliability.",
    "coil": "Work out a coil's currents, heat, fuse and limits.",
    "wiring": "Work sheets for a game's wiring, and a look at an existing harness.",
}

# What a wrong word or option raises: click's class, which typer brings along under a name of its own.
REFUSAL: Any = typer.BadParameter.__mro__[2]

USAGE_EXIT = 2
INVALID_EXIT = 3


class _OnDemand(TyperGroup):
    """Lists every sub-command, imports only the one that runs."""

    def list_commands(self, ctx: Any) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: Any, name: str) -> Any:
        if name not in COMMANDS:
            return None
        module = importlib.import_module(f"hil.command.{name}")
        app = typer.Typer(add_completion=False, rich_markup_mode=None)
        module.register(app)
        command = typer.main.get_command(app)
        command.name = name
        command.short_help = COMMANDS[name]
        return command

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


app = typer.Typer(cls=_OnDemand, add_completion=False, no_args_is_help=True, rich_markup_mode=None)


@app.callback()
def _inlane() -> None:
    """Rules, desk and bench for a pinball machine. Example: inlane play honey_flow"""


def main() -> None:
    """Run the command line; one sentence and an exit code when something is wrong."""
    try:
        code = app(standalone_mode=False)
    except InlaneError as error:
        print(error, file=sys.stderr)
        sys.exit(INVALID_EXIT if isinstance(error, LinkError) else USAGE_EXIT)
    except REFUSAL as error:
        error.show()
        sys.exit(USAGE_EXIT)
    except (typer.Abort, KeyboardInterrupt):
        print("stopped", file=sys.stderr)
        sys.exit(130)
    sys.exit(code if isinstance(code, int) else 0)
