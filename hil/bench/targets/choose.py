"""Opens the target that the user names."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from firmware.base.errors import UsageError
from hil.bench.targets.desk import DeskTarget
from hil.bench.targets.target import Target
from hil.games import Game

if TYPE_CHECKING:
    from hil.bench.targets.link import Port

DESK = "desk"

IN_PROCESS: dict[str, Callable[[Game, bool], Target]] = {  # by the user's word: game, records_guards
    DESK: DeskTarget,
}


PATIENCE_S = 2.0  # with a bad line, where many sessions end by waiting in vain


def open_target(
    spec: str,
    game: Game,
    real_time: bool = False,
    records_guards: bool = False,
    image: Path | None = None,
    line: "Callable[[Port], Port] | None" = None,
) -> Target:
    """Open a word of IN_PROCESS, `micropython`, a port or a pyserial URL. Raises UsageError, LinkError.

    `records_guards`: record what guards answer, which only targets in this process can. `image`: the board's
    image, when it was not deployed from this machine. `line` damages what goes over the serial line.
    """
    if spec in IN_PROCESS:
        if real_time:
            raise UsageError(f"the {spec} target has virtual time only; leave --real-time out")
        return IN_PROCESS[spec](game, records_guards)
    from hil.bench.targets.linked import LinkTarget  # pyserial is loaded only when a line is opened

    if line is not None:
        return LinkTarget(spec, game, real_time, PATIENCE_S, image, behind=line)
    return LinkTarget(spec, game, real_time, image=image)
