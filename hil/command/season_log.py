"""One game of a season as a script of contacts."""

import tempfile
from pathlib import Path

from firmware.base.errors import InlaneError, UsageError
from hil import games
from hil.bench.contact_log import Run
from hil.bench.run_clock import OutOfTime
from hil.bench.targets.target import MachineStopped
from hil.command.logs import check as check_log
from hil.command.logs import write_log
from hil.command.season_game import Job, match_of, whole_settings
from hil.command.shrink import shrink_file


def check(log: Path | None, seed: int | None, expect: str, seeds: range) -> None:
    """Raises UsageError: options without --log, no such level or game, or no place for the file."""
    check_log(log, expect)
    if seed is not None and log is None:
        raise UsageError("--log-seed goes with --log, which writes a game as a script")
    if seed is not None and seed not in seeds:
        raise UsageError(f"--log-seed must be {seeds[0]} to {seeds[-1]}, the seeds of the games, not {seed}")


def write(job: Job, path: Path, expect: str) -> str:
    """Play the game again and write it; a sentence. Raises UsageError: too long, or not writable."""
    run = _run_of(job)
    write_log(run, path, games.load(job.game), expect)
    return f"wrote {path}, {run.title}; try: inlane replay {path} --game {job.game}"


def write_shrunk(job: Job, path: Path) -> str:
    """Play a game again that failed a standing check, and write the shortest script that still fails it.

    Returns a sentence. Raises UsageError: not writable.
    """
    game = games.load(job.game)
    with tempfile.TemporaryDirectory(prefix="inlane-season-") as folder:
        log = Path(folder) / f"seed_{job.seed}.play"
        write_log(_run_of(job), log, game)
        try:
            return shrink_file(log, path, game)
        except UsageError as error:
            return f"seed {job.seed}: no script was written: {error.text}"


def _run_of(job: Job) -> Run:
    match = match_of(job)
    digest = ""
    try:
        digest = match.play(job.players, whole_settings(games.load(job.game), match.settings)["balls"]).digest
    except (MachineStopped, OutOfTime, InlaneError):
        pass  # a finding, which the season has printed; its log ends there
    title = f"the game of seed {job.seed}"
    return Run(title, job.seed, match.clock.contact_changes, match.clock.now, digest, match.settings)
