"""`inlane check`: what is wrong with a game, before it meets a machine."""

import json
from collections.abc import Iterator
from typing import Annotated

import typer

from firmware.base.errors import GameError
from hil import games
from hil.bench.outcome import FAIL, PASS, USAGE
from hil.build import chips
from hil.checks import board as board_checks
from hil.checks import coils as coil_checks
from hil.checks.bases import several_bases
from hil.checks.board_report import BoardReport
from hil.checks.build import Built, Check, all_findings
from hil.checks.kept import kept_values
from hil.checks.source import Finding
from hil.command import drawn
from hil.command.image import ChipName
from simulator.routes import RouteBook


def ball_routes(built: Built) -> Iterator[Finding]:
    """The plant can play the game's ball routes."""
    try:
        RouteBook(built.game.tables("routes"), built.console.switch_names, built.console.coil_names)
    except GameError as error:
        yield Finding(error.text, error.where or f"{built.source.shown}/host/routes.py")


def drawing(built: Built) -> Iterator[Finding]:
    """The drawing says where everything is that the machine has, and names nothing else."""
    shown = f"{built.source.shown}/host/playfield.svg"
    try:
        found = drawn.drawing(built.game)
    except GameError as error:
        if "routes" not in error.where:
            yield Finding(error.text, error.where or shown)
        return
    is_own = drawn.path(built.game).is_file()
    for remark in found.remarks:
        if is_own or remark.fatal:
            yield Finding(remark.text, f"{shown}:{remark.line}", remark.fatal)


MORE: tuple[Check, ...] = (
    ball_routes,
    drawing,
    several_bases,
    coil_checks.coil_findings,
    kept_values,
)


def board_findings(name: str, board: str, fit: BoardReport) -> list[Finding]:
    """What the board refuses of the game, and what is worth a look."""
    game = games.load(name)
    refused = (*board_checks.check(board, game.wiring), *fit.refused)
    return [Finding(text, f"boards/{board}") for text in refused] + [
        Finding(text, f"boards/{board}", fatal=False) for text in fit.notes
    ]


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command()
    def check(
        game: Annotated[str, typer.Argument(help="A game's name, or its folder.")],
        strict: Annotated[bool, typer.Option("--strict", help="Notes count too: exit code 1.")] = False,
        board: Annotated[str, typer.Option(help="A board the game is to run on, such as pico_matrix.")] = "",
        chip: ChipName = chips.RP2040.name,
        as_json: Annotated[bool, typer.Option("--json", help="Print the findings as JSON.")] = False,
    ) -> int:
        """Check a game's wiring, features, ball routes, drawing and scripts.

        Example: inlane check honey_flow

        Two verdicts: whether it plays, at the desk and in lock-step; and whether its coils may be energised.

        Exit code 0 both (perhaps with notes), 1 it plays and may not be energised, or notes and --strict,
        2 the game cannot be used.
        """
        processor = chips.named(chip)
        findings = all_findings(game, MORE)
        fit = BoardReport()
        if board and not any(finding.fatal for finding in findings):
            fit = board_checks.report(board, games.load(game), processor)
            findings += board_findings(game, board, fit)
        fatal = sum(finding.fatal and not finding.power for finding in findings)
        refused = sum(finding.fatal and finding.power for finding in findings)
        if as_json:
            print(json.dumps([vars(finding) for finding in findings], indent=2))
        else:
            for line in fit.lines:
                print(line)
            _tell(game, findings, fatal, refused)
        if fatal:
            return USAGE
        return FAIL if refused or (findings and strict) else PASS


def _tell(game: str, findings: list[Finding], fatal: int, refused: int) -> None:
    for finding in findings:
        typer.echo(str(finding), err=finding.fatal)
    notes = len(findings) - fatal - refused
    if fatal:
        typer.echo(f"{game}: {_count(fatal, 'problem')}; the game cannot be used", err=True)
        return
    print(f"{game}: fit to play" + (f", {_count(notes, 'note')}" if notes else ""))
    if refused:
        typer.echo(f"{game}: may not be energised: {_count(refused, 'refusal')}", err=True)
        return
    off = coil_checks.stay_off(games.load(game))
    but = f", but for {', '.join(off)}: no load is declared, so it stays off" if off else ""
    print(f"{game}: may be energised{but}")


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'s' * (number > 1)}"
