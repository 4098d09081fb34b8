"""Games judged by their game's independent model (host/model.py), and differences shrunk to scripts."""

from pathlib import Path

from firmware.base.errors import InlaneError, UsageError
from hil import games
from hil.bench import contact_log
from hil.bench.contact_log import Run
from hil.bench.rule_judge import Difference, judge_rules
from hil.bench.scripts import script
from hil.bench.season import SimulatedGame
from hil.bench.shrink import shrunk
from hil.command.replay import Bench
from hil.command.season_game import MODEL, Job, differences, match_of, whole_settings

AFTER_MS = 20  # how long the script of a difference goes on after it


def check_judge(game: games.Game, judge: str, shrunk_to: Path | None) -> None:
    """Raises UsageError: no such judge, or no place for a script; GameError: no model."""
    if judge not in ("", MODEL):
        raise UsageError(f"there is no judge '{judge}'; there is '{MODEL}'")
    if shrunk_to is not None:
        contact_log.check_name(shrunk_to)
    if judge:
        game.host("model")


def write_shrunk(job: Job, path: Path) -> str:
    """Play a game again that differs from its model, and write the shortest script that still does.

    Returns a sentence. Raises UsageError when the file cannot be written.
    """
    match = match_of(job)
    match.play(job.players, whole_settings(games.load(job.game), match.settings)["balls"])
    found = differences(match, job)
    if not found:
        return f"seed {job.seed}: the model does not differ, so there is no script"
    lines = _script_of(match, job, found[0])
    with Bench("desk") as bench:
        kept = shrunk(lines, lambda rest: found[0][1:] in _shown(bench, job.game, rest))
    try:
        path.write_text("\n".join(kept) + "\n", encoding="utf-8")
    except OSError as error:
        raise UsageError(f"the script cannot be written: {error.strerror or error}", str(path)) from None
    return f"{path}: {len(lines)} lines became {len(kept)}"


def _script_of(match: SimulatedGame, job: Job, found: Difference) -> list[str]:
    """The contact changes of a game up to a difference, as lines of a script."""
    end = found.ms + AFTER_MS
    changes = [change for change in match.clock.contact_changes if change.ms < end]
    title = f"seed {job.seed}: {found.feature}"
    text = contact_log.as_script(Run(title, job.seed, changes, end, "", match.settings))
    return [line for line in text.split("\n") if line.strip()]


def _shown(bench: Bench, name: str, lines: list[str]) -> list[tuple[object, ...]]:
    """The differences that a script shows, without their times; none when it is no script."""
    game = games.load(name)
    try:
        parsed = script.parse("\n".join(lines), Path("shrunk.play"), bench.vocabulary(game), "shrunk")
        history = bench.run(parsed, game).history
    except InlaneError:
        return []
    settings = whole_settings(game, parsed.settings)
    return [one[1:] for one in judge_rules(history, settings, game.host("model"))]
