"""`inlane shrink`: the smallest script that still fails in the same way."""

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from firmware.base.errors import InlaneError, UsageError
from hil import games
from hil.bench.failure import Failure, failure_of, features_of
from hil.bench.outcome import PASS, VERDICTS
from hil.bench.scripts import script
from hil.bench.shrink import contents, shrunk_script
from hil.command.judging import Judge
from hil.command.replay import Bench, game_of, shown
from hil.games import Game

ENDING = "_small"


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(name="shrink")(shrink)


def shrink(
    path: Annotated[Path, typer.Argument(metavar="SCRIPT", help="A script that fails.")],
    out: Annotated[
        Path | None, typer.Option(help=f"Where the smallest script is written; NAME{ENDING}.play beside it.")
    ] = None,
    game: Annotated[str, typer.Option(help="Game, by name or folder; usually told by the folder.")] = "",
    passes_in: Annotated[
        Path | None,
        typer.Option(help="A folder with the game as it was: what is kept must pass there."),
    ] = None,
) -> int:
    """Shrink a script that fails to the smallest one that still fails in the same way, at the desk.

    Example: inlane shrink seen_at_the_desk.play --game ./my_game

    In the same way: by the same expectation with the same seen in its place, after the same last switch and
    events, and the same last transitions of the features that it covers (without 'covers': that the
    expectation names). With --passes-in the script must pass there instead of that. A standing check must
    be the same one.
    """
    goal = out or path.with_name(path.stem + ENDING + script.SUFFIX)
    _check(path, goal)
    print(shrink_file(path, goal, game_of(path, game), passes_in))
    return PASS


def shrink_file(path: Path, goal: Path, game: Game, passes_in: Path | None = None) -> str:
    """Shrink a script of a game into the file `goal`; a sentence.

    Raises ScriptError: it is none; UsageError: it does not fail, does not pass in the folder `passes_in`, or
    the file cannot be written.
    """
    with Bench("desk") as bench:
        shrinker = _Shrinker(bench, game, path, passes_in)
        with Console(stderr=True).status("shrinking") as status:
            kept = shrinker.run(lambda lines: status.update(f"shrinking: {lines} lines"))
    header = [f"# From {path.name}: {shrinker.before} lines became {len(kept)}.", "# " + shrinker.words, ""]
    try:
        goal.write_text("\n".join([*header, *kept]) + "\n", encoding="utf-8")
    except OSError as error:
        raise UsageError(f"the script cannot be written: {error.strerror or error}", str(goal)) from None
    return f"{shown(goal)}: {shrinker.before} lines became {len(kept)}, in {shrinker.runs} runs"


def _check(path: Path, goal: Path) -> None:
    """Raises UsageError when there is no script, or no place for the smallest."""
    if not path.is_file():
        raise UsageError("there is no such script", str(path))
    if goal.suffix != script.SUFFIX:
        raise UsageError(f"a script's name ends in {script.SUFFIX}, not '{goal.name}'")
    if goal.exists():
        raise UsageError("the smallest script would overwrite this file; name another with --out", str(goal))


class _Shrinker:
    """One script on its way. Raises ScriptError: it is none; UsageError: it does not fail, or not there."""

    def __init__(self, bench: Bench, game: Game, path: Path, passes_in: Path | None) -> None:
        self.runs = 0
        self._bench = bench
        self._game = game
        self._path = path
        self._sound = _sound_judge(passes_in)
        played = bench.read(path, game)
        self._lines = contents(path.read_text(encoding="utf-8"))
        self.before = len(self._lines)
        outcome = bench.run(played, game)
        expected = outcome.problems[0].expected if outcome.problems else ""
        self._features = features_of(expected, played.covers, bench.vocabulary(game).names.own)
        failure = failure_of(outcome, self._features)
        if failure is None:
            verdict = VERDICTS[outcome.code]
            raise UsageError(f"there is nothing to shrink: the script ends with {verdict}", shown(path))
        self._failure: Failure = failure
        problem = outcome.problems[0]
        self.words = f"Fails: expected {problem.expected}; seen {problem.seen}."

    def run(self, tell: Callable[[int], None]) -> list[str]:
        """The lines that are kept; `tell` is called with their number, each time there are fewer."""
        known: dict[tuple[str, ...], bool] = {}

        def holds(lines: list[str]) -> bool:
            key = tuple(lines)
            if key not in known:
                known[key] = self._fails_so(lines)
                if known[key]:
                    tell(len(lines))
            return known[key]

        try:
            if not holds(self._lines):
                raise UsageError(self._why_not(), shown(self._path))
            return shrunk_script(self._lines, f"expect {self._failure.expected}", holds)
        finally:
            if self._sound is not None:
                self._sound.close()

    def _why_not(self) -> str:
        there = self._sound.verdict(self._path.name, "\n".join(self._lines)) if self._sound else (PASS, "")
        if there[0] != PASS:
            return f"the script does not pass with --passes-in: {there[1]}"
        return "the script fails in another way when it runs again"

    def _fails_so(self, lines: list[str]) -> bool:
        text = "\n".join(lines)
        self.runs += 1
        try:
            played = script.parse(text, self._path, self._bench.vocabulary(self._game))
            failure = failure_of(self._bench.run(played, self._game), self._features)
        except InlaneError:
            return False
        if failure is None or self._sound is None:
            return failure == self._failure
        same = (failure.expected, failure.seen) == (self._failure.expected, self._failure.seen)
        return same and self._sound.verdict(self._path.name, text)[0] == PASS


def _sound_judge(folder: Path | None) -> Judge | None:
    """A process with the game as it was. Raises UsageError, GameError: no game there."""
    if folder is None:
        return None
    _name, place, _package = games.locate(str(folder))
    return Judge(place.parent, str(place))
