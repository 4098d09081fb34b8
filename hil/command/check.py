"""`inlane check`: what is wrong with a game, before it meets a machine."""

import json
from typing import Annotated, NamedTuple

import typer

from hil import games
from hil.bench.outcome import FAIL, PASS, USAGE
from hil.build import chips
from hil.build.chips import Chip
from hil.checks import board as board_checks
from hil.checks import coils as coil_checks
from hil.checks.bases import several_bases
from hil.checks.board_report import BoardReport
from hil.checks.build import Check, all_findings
from hil.checks.kept import kept_values
from hil.checks.rule_sheet import rule_sheet
from hil.checks.source import Finding
from hil.command import demands, tabletop
from hil.command.file_watch import watch
from hil.command.image import ChipName
from hil.command.names import renew_checked
from hil.command.random_games import USUAL, played

MORE: tuple[Check, ...] = (
    several_bases,
    coil_checks.coil_findings,
    kept_values,
    rule_sheet,
    *demands.BY_CONSOLE,
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
        count: Annotated[int, typer.Option("--games", min=0, help="Random games; 0: none.")] = USUAL,
        watched: Annotated[
            bool, typer.Option("--watch", help="Check again, without games, whenever a file is saved.")
        ] = False,
        as_json: Annotated[bool, typer.Option("--json", help="Print the findings as JSON.")] = False,
    ) -> int:
        """Check a game's wiring, features, ball routes, drawing and scripts, then play random games.

        Example: inlane check honey_flow

        Two verdicts: whether it plays, at the desk and in lock-step; and whether its coils may be energised.
        What passes here is refused by no other command. Random games have mixed settings and players, and
        are judged by the standing checks; the game's scripts are run, and must not stop the machine.

        Exit code 0 both (perhaps with notes), 1 it plays and may not be energised, or notes and --strict,
        2 the game cannot be used.
        """
        asked = Asked(game, strict, board, chips.named(chip), count, as_json)
        if not watched:
            return check_once(asked)
        watch(game, lambda: check_once(asked._replace(games=0)))
        return PASS


class Asked(NamedTuple):
    """What is to be checked, and how."""

    game: str
    strict: bool
    board: str
    chip: Chip
    games: int
    as_json: bool


def check_once(asked: Asked) -> int:
    """Check a game, print what was found, and return the exit code."""
    game = asked.game
    findings = all_findings(game, MORE, demands.BY_TABLES)
    fit = BoardReport()
    if asked.board and not any(finding.fatal for finding in findings):
        fit = board_checks.report(asked.board, games.load(game), asked.chip)
        findings += board_findings(game, asked.board, fit)
    if not any(finding.fatal and not finding.power for finding in findings):
        findings += tabletop.findings(game, drops=asked.games > 0)
    if asked.games and not any(finding.fatal and not finding.power for finding in findings):
        findings += played(game, asked.games, quiet=asked.as_json)
    fatal = sum(finding.fatal and not finding.power for finding in findings)
    refused = sum(finding.fatal and finding.power for finding in findings)
    if not fatal and renew_checked(game) and not asked.as_json:
        print(f"{game}: the names for editors are renewed")
    if asked.as_json:
        print(json.dumps([vars(finding) for finding in findings], indent=2))
    else:
        for line in fit.lines:
            print(line)
        _tell(game, findings, fatal, refused)
    if fatal:
        return USAGE
    return FAIL if refused or (findings and asked.strict) else PASS


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
    loaded = games.load(game)
    print(f"{game}: {coil_checks.stage_line(loaded)}")
    off = coil_checks.stay_off(loaded)
    but = f", but for {', '.join(off)}: no load is declared, so it stays off" if off else ""
    print(f"{game}: may be energised{but}")


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'s' * (number > 1)}"
