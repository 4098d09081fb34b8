"""What a replay writes into files beside its verdicts: waveforms, and a page of the run."""

from collections.abc import Callable, Sequence
from pathlib import Path

from firmware.base.errors import GameError, UsageError
from hil.bench.coverage import Coverage
from hil.bench.outcome import INVALID, PASS, Outcome
from hil.bench.waves import Waves
from hil.command import drawn
from hil.games import Game
from hil.reports.lamp_map import Spot
from hil.reports.page import Field, Shown, page
from simulator.drawing import colours

FEW_DRAWN = 4  # so many scripts are drawn even when they pass
MOST_DRAWN = 40  # failing ones that are drawn; the others are told in words

Again = Callable[[int], Outcome]
"""Runs a script again, by its place, with its signals recorded."""


def check(vcd: Path | None, page_file: Path | None, scripts: int, real_time: bool) -> None:
    """Raises UsageError when such files cannot be written of these scripts, before they are played."""
    if vcd is None and page_file is None:
        return
    if real_time:
        raise UsageError("waveforms and pages are recorded in lock-step; leave --real-time out")
    if vcd is not None and scripts > 1:
        raise UsageError(f"--vcd takes one script, not {scripts}")
    for path in (vcd, page_file):
        if path is not None and not path.resolve().parent.is_dir():
            raise UsageError("there is no such folder to write into", str(path))
    if vcd is not None:
        _vcd_module()


def write_vcd(path: Path, outcomes: Sequence[Outcome], again: Again) -> None:
    """Write the waveforms of the one script. Raises UsageError."""
    waves = recorded(0, outcomes, again)
    if waves is None:
        raise UsageError("there are no waveforms: the run is INVALID, or another one made another trace")
    _vcd_module()(path, waves)


def recorded(at: int, outcomes: Sequence[Outcome], again: Again) -> Waves | None:
    """The signals of a script, from a second run that makes the same trace; None when it does not."""
    outcome = outcomes[at]
    if outcome.code == INVALID:
        return None
    second = again(at)
    same = (second.code, second.digest, second.records) == (outcome.code, outcome.digest, outcome.records)
    return second.waves if same else None


def write_page(
    path: Path,
    outcomes: Sequence[Outcome],
    games: Sequence[Game],
    again: Again,
    coverage: dict[str, Coverage],
) -> None:
    """Write the page of a run. Raises UsageError."""
    shown = list(range(len(outcomes))) if len(outcomes) <= FEW_DRAWN else _failed(outcomes)[:MOST_DRAWN]
    for at in shown:
        outcomes[at].waves = recorded(at, outcomes, again)
    fields = {outcomes[at].path: found for at in shown if (found := field(games[at])) is not None}
    title = f"{outcomes[0].title or outcomes[0].path}" if len(outcomes) == 1 else f"{len(outcomes)} scripts"
    try:
        path.write_text(page(Shown(title, outcomes, fields, coverage)), encoding="utf-8")
    except OSError as error:
        raise UsageError(f"the page cannot be written: {error.strerror or error}", str(path)) from None


def _failed(outcomes: Sequence[Outcome]) -> list[int]:
    return [at for at, outcome in enumerate(outcomes) if outcome.code != PASS]


def field(game: Game) -> Field | None:
    """The places of a game's lamps; None when its drawing cannot be made."""
    try:
        found = drawn.drawing(game)
    except GameError:
        return None  # the page says everything else; `inlane check` names what is wrong
    spots = [
        Spot(
            insert.lamp,
            insert.x,
            insert.y,
            max(insert.size / 2, 4),
            colours.hexadecimal(colours.lit(insert.colour)),
            colours.hexadecimal(colours.unlit(insert.colour)),
        )
        for insert in found.inserts
    ]
    return Field(spots, found.size)


def _vcd_module() -> Callable[[Path, Waves], None]:
    try:
        from hil.bench.vcd_file import write  # pyvcd is installed by an extra
    except ModuleNotFoundError:
        raise UsageError("inlane replay --vcd needs pyvcd: pip install 'inlane[bench]'") from None
    return write
