"""`inlane add`: adds a device, a rule or a lamp show to a game, one sub-command for each kind."""

import typer

from hil.command import add_device, add_rule, add_show


def register(app: typer.Typer) -> None:
    """Add the sub-commands."""
    app.callback()(_add)
    add_device.register(app)
    add_rule.register(app)
    add_show.register(app)


def _add() -> None:
    """Add a device, a rule or a lamp show to a game of your own.

    Example: inlane add saucer pond --to ./my_game --at 2,8 --drive 11
    """
