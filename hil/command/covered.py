"""The coverage of games by scripts: printed, as JSON, and as drawn charts."""

import json
from collections.abc import Mapping
from pathlib import Path

from firmware.base.errors import UsageError
from firmware.charts.model import Region
from hil.bench import report
from hil.bench.coverage import Coverage, FeatureCoverage
from hil.bench.outcome import Outcome
from hil.games import Game
from hil.reports.diagram import Unseen, as_svg, of_region

CABINET = "cabinet"  # the folder of the charts that are not the game's own


def as_json(outcomes: list[Outcome], covered: Mapping[str, Coverage]) -> str:
    """The verdicts, and the coverage of each game by feature, as JSON."""
    told = json.loads(report.as_json(outcomes))
    if covered:
        told["coverage"] = {
            name: [one.data() for one in coverage.by_feature()] for name, coverage in covered.items()
        }
    return json.dumps(told, indent=2)


def write_charts(coverage: Coverage, game: Game, folder: Path) -> str:
    """Draw each feature's chart, with what was not seen marked; a sentence. Raises UsageError: not writable.

    The game's own are in `folder`, the others in its folder CABINET.
    """
    regions = [Region(f.name, f, f.chart, f.states) for f in game.console().play.features]
    charts = {region.name: region for region in regions}
    features = coverage.by_feature()
    try:
        (folder / CABINET).mkdir(parents=True, exist_ok=True)
        for one in features:
            place = folder if one.is_own else folder / CABINET
            text = as_svg(of_region(charts[one.name]), unseen=unseen_of(one))
            (place / f"{one.name}.svg").write_text(text, encoding="utf-8")
    except OSError as error:
        raise UsageError(f"the charts cannot be written: {error.strerror or error}", str(folder)) from None
    return f"wrote {len(features)} charts into {folder}"


def write_all(covered: Mapping[str, Coverage], games: Mapping[str, Game], folder: Path) -> str:
    """Draw the charts of each game, in a folder of its own when there are several; sentences."""
    places = {name: folder / name if len(covered) > 1 else folder for name in covered}
    return "\n".join(write_charts(found, games[name], places[name]) for name, found in covered.items())


def unseen_of(one: FeatureCoverage) -> Unseen:
    """What a chart's drawing marks."""
    notes = {number: one.unseen_of_row(number) for number in range(len(one.rows))}
    return Unseen(one.unseen_states, one.unseen_rows, {at: note for at, note in notes.items() if note})
