"""Opens the target that the user names."""

from pathlib import Path

from firmware.base.errors import UsageError
from hil.bench.targets.desk import DeskTarget
from hil.bench.targets.target import Target
from hil.games import Game

DESK = "desk"


def open_target(
    spec: str, game: Game, real_time: bool = False, records_guards: bool = False, image: Path | None = None
) -> Target:
    """Open `desk`, `micropython`, a serial port or a pyserial URL. Raises UsageError, LinkError.

    `records_guards`: record what guards answer, which only the desk can. `image`: the board's image, when it
    was not deployed from this machine.
    """
    if spec == DESK:
        if real_time:
            raise UsageError("the desk target has virtual time only; leave --real-time out")
        return DeskTarget(game, records_guards)
    from hil.bench.targets.linked import LinkTarget  # pyserial is loaded only when a line is opened

    return LinkTarget(spec, game, real_time, image=image)
