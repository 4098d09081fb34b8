"""`inlane faults`: plant faults one at a time, and see that the scripts catch each."""

import json
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Annotated

import typer

from hil import games
from hil.bench import faults
from hil.bench.faults import HOST, Fault, FaultResult
from hil.bench.outcome import FAIL, PASS
from hil.command.rule_games import check_judge

ABREAST = 2  # copies that run at the same time


def run(fault: Fault, game: str, everywhere: bool = False) -> FaultResult:
    """Hunt one fault in a temporary copy of the firmware."""
    with tempfile.TemporaryDirectory(prefix="inlane-fault-") as folder:
        return faults.hunt(fault, game, Path(folder), everywhere)


def run_by_model(fault: Fault, game: str, games: int, sound: dict[str, str]) -> FaultResult:
    """Hunt one fault in a temporary copy by games that the model judges; `sound`: differences without it."""
    with tempfile.TemporaryDirectory(prefix="inlane-fault-") as folder:
        return faults.hunt_by_model(fault, game, Path(folder), games, sound)


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command(name="faults")
    def hunt(
        listing: Annotated[Path, typer.Argument(help="A TOML list of planted faults.")],
        game: Annotated[str, typer.Option(help="The built-in game whose scripts hunt them.")] = "honey_flow",
        everywhere: Annotated[
            bool, typer.Option("--all-scripts", help="Replay every script, not only those that should fail.")
        ] = False,
        judge: Annotated[
            str,
            typer.Option(help="'model': games judged by host/model.py of the game hunt them."),
        ] = "",
        count: Annotated[int, typer.Option("--games", help="With --judge: how many games a fault.")] = 200,
        as_json: Annotated[bool, typer.Option("--json", help="Print the results as JSON.")] = False,
    ) -> int:
        """Plant each fault of a list in a copy of the firmware and replay the game's scripts there.

        Example: inlane faults tests/faults/honey_flow.toml

        With --judge model each copy plays a season instead, which is judged by the game's independent model;
        a fault is caught by a game in which the model differs only with the fault.

        Exit code 0 when each is caught by a script that covers its feature (or by a game), 1 when one is not.
        """
        listed = faults.read(listing)
        check_judge(games.load(game), judge, None)
        if judge:
            sound = faults.season(HOST, game, count)
            results = [run_by_model(fault, game, count, sound) for fault in listed]
        else:
            with ThreadPoolExecutor(ABREAST) as pool:
                results = list(pool.map(lambda fault: run(fault, game, everywhere), listed))
        if as_json:
            print(json.dumps([_plain(result) for result in results], indent=2))
        else:
            print("\n".join(_line(result, bool(judge)) for result in results))
            print(f"{sum(result.is_caught for result in results)} of {len(results)} faults caught")
        return PASS if all(result.is_caught for result in results) else FAIL


def _line(result: FaultResult, judged: bool) -> str:
    if result.failed_scripts:
        script, expected = next(iter(result.failed_scripts.items()))
        more = f" and {len(result.failed_scripts) - 1} more" if len(result.failed_scripts) > 1 else ""
        return f"caught  {result.fault.name}: {script}{more}, expected {expected}"
    if result.problem:
        return f"BROKEN  {result.fault.name}: {result.problem}"
    if not result.failed_elsewhere and judged:
        return f"MISSED  {result.fault.name}: no game shows it"
    by = f", only by {', '.join(result.failed_elsewhere)}" if result.failed_elsewhere else ""
    return f"MISSED  {result.fault.name}: no script that covers {result.fault.feature} fails{by}"


def _plain(result: FaultResult) -> dict[str, object]:
    return {
        "fault": result.fault.name,
        "feature": result.fault.feature,
        "file": result.fault.file,
        "caught": result.is_caught,
        "problem": result.problem,
        "red": result.failed_scripts,
        "red_elsewhere": result.failed_elsewhere,
    }
