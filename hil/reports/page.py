"""One run of scripts as a page of HTML that needs nothing beside it: no script, no other file."""

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from html import escape
from importlib import resources

from hil.bench import report
from hil.bench.coverage import Coverage
from hil.bench.outcome import PASS, Outcome
from hil.bench.view import seconds
from hil.bench.waves import Waves
from hil.reports import lamp_map, timeline
from hil.reports.lamp_map import Spot
from hil.reports.timeline import Mark

ZOOM_MS = 4000  # before the failing moment, drawn again larger
AFTER_MS = 250


@dataclass(frozen=True)
class Field:
    """A playfield: its lamps' places, and its size in mm."""

    spots: Sequence[Spot]
    size: tuple[float, float]


@dataclass
class Shown:
    """What the page shows: every outcome, in order, and what is drawn of some.

    `fields` are playfields by the script's path; `coverage` is by game.
    """

    title: str
    outcomes: Sequence[Outcome]
    fields: Mapping[str, Field] = field(default_factory=dict)
    coverage: Mapping[str, Coverage] = field(default_factory=dict)


def page(shown: Shown) -> str:
    """The page."""
    style = resources.files("hil.reports").joinpath("page.css").read_text(encoding="utf-8")
    body = [_head(shown)]
    body += [_failure(outcome, shown.fields) for outcome in shown.outcomes if outcome.code != PASS]
    body += [_passed(outcome) for outcome in shown.outcomes if outcome.code == PASS and outcome.waves]
    body += [_table(shown.outcomes), *(_coverage(game, found) for game, found in shown.coverage.items())]
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(shown.title)}</title>\n<style>\n{style}</style>\n</head>\n<body>\n"
        + "\n".join(body)
        + "\n</body>\n</html>\n"
    )


def _head(shown: Shown) -> str:
    return f"<h1>{escape(shown.title)}</h1>\n<p>{escape(report.summary(list(shown.outcomes)))}</p>"


def _failure(outcome: Outcome, fields: Mapping[str, Field]) -> str:
    """A script that did not pass: its story, its lamps, its time."""
    story = textwrap.dedent("\n".join(report.lines(outcome)[1:]))
    parts = [_title(outcome), '<div class="beside">', f'<pre class="story">{escape(story)}</pre>']
    parts.append(f"<div>{_lamps(outcome, fields)}</div></div>")
    if outcome.waves is not None:
        parts += _timelines(outcome, outcome.waves)
    return "\n".join(["<section>", *parts, "</section>"])


def _title(outcome: Outcome) -> str:
    title = f"<h2>{escape(outcome.title or outcome.path)}</h2>"
    run = f"on {outcome.target}, {seconds(outcome.simulated_ms)}, trace {outcome.digest[:16] or 'none'}"
    verdict = f'<span class="{outcome.verdict}">{outcome.verdict}</span>'
    path = f"<code>{escape(outcome.path)}</code>"
    return f'{title}\n<p>{verdict} {path} <span class="soft">{escape(run)}</span></p>'


def _lamps(outcome: Outcome, fields: Mapping[str, Field]) -> str:
    """The playfield at the failing moment."""
    found = fields.get(outcome.path)
    if found is None or outcome.waves is None:
        return ""
    at_ms = failing_ms(outcome)
    waves = outcome.waves
    patterns = {spot.lamp: int(waves.level("lamp", spot.lamp, at_ms)) for spot in found.spots}
    drawn = lamp_map.draw(found.spots, found.size, patterns)
    ring = "a dashed ring blinks" if any(pattern > 1 for pattern in patterns.values()) else ""
    return f"<h3>Lamps at {seconds(at_ms)}</h3>\n{drawn}\n<p class='soft'>{ring}</p>"


def failing_ms(outcome: Outcome) -> int:
    """When it failed: the first complaint's time."""
    return outcome.problems[0].at_ms if outcome.problems else outcome.simulated_ms


def _timelines(outcome: Outcome, waves: Waves) -> list[str]:
    """The last seconds before the failing moment, then the whole run."""
    at_ms = failing_ms(outcome)
    marks = _marks(outcome)
    first = max(0, at_ms - ZOOM_MS)
    parts = [f"<h3>The last {(at_ms - first) / 1000:g} s before it failed</h3>"]
    parts.append(timeline.draw(waves, marks, first, min(at_ms + AFTER_MS, waves.end_ms)))
    whole = timeline.draw(waves, marks)
    return [*parts, f"<details><summary>The whole run</summary>{whole}</details>", _lacks(waves)]


def _marks(outcome: Outcome) -> list[Mark]:
    steps = outcome.story.steps if outcome.story else ()
    marks = [Mark(step.ms, f"line {step.line}: {step.text}") for step in steps]
    return marks + [Mark(p.at_ms, f"expected {p.expected}", is_failure=True) for p in outcome.problems]


def _lacks(waves: Waves) -> str:
    if not waves.lacks:
        return ""
    return f'<p class="soft">Not known on this target: {", ".join(waves.lacks)}.</p>'


def _passed(outcome: Outcome) -> str:
    assert outcome.waves is not None
    drawn = timeline.draw(outcome.waves, _marks(outcome))
    return f"<section>\n{_title(outcome)}\n{drawn}\n{_lacks(outcome.waves)}</section>"


def _table(outcomes: Sequence[Outcome]) -> str:
    rows = "\n".join(_table_row(outcome) for outcome in outcomes)
    head = '<tr><th>verdict</th><th>script</th><th>title</th><th class="number">play</th><th>trace</th></tr>'
    return f"<section><h2>Every script</h2>\n<table>\n{head}\n{rows}\n</table></section>"


def _table_row(outcome: Outcome) -> str:
    verdict = f'<td class="{outcome.verdict}">{outcome.verdict}</td>'
    names = f"<td><code>{escape(outcome.path)}</code></td><td>{escape(outcome.title)}</td>"
    run = (
        f'<td class="number">{seconds(outcome.simulated_ms)}</td><td class="trace">{outcome.digest[:16]}</td>'
    )
    return f"<tr>{verdict}{names}{run}</tr>"


def _coverage(game: str, found: Coverage) -> str:
    first, *rest = found.lines()
    return (
        f"<section><h2>What the scripts cover of {escape(game)}</h2>\n<p>{escape(first)}</p>\n"
        "<details><summary>what is missing</summary>"
        f"<pre>{escape(chr(10).join(rest))}</pre></details></section>"
    )
