"""Reports of outcomes: text, JUnit XML and JSON."""

import json
import xml.etree.ElementTree as ET
from collections.abc import Iterable
from pathlib import Path
from typing import TypedDict

from firmware.base.errors import UsageError
from hil.bench import story_text
from hil.bench.outcome import FAIL, PASS, Outcome, Problem, worst
from hil.bench.view import seconds

SHORT_HASH = 16
SCREEN = 40  # lines of a failing script, and
LAST_LINES = 2  # of these, for what the command says at its end
LEAST_STORY = 24


def lines(outcome: Outcome, verbose: bool = False, ledger: bool = False, whole: bool = False) -> list[str]:
    """One outcome as lines of text; `whole`: with all of its story."""
    digest = outcome.digest if verbose else outcome.digest[:SHORT_HASH]
    run = "real time, hash not compared" if outcome.real_time else f"trace {digest or 'none'}"
    text = [
        f"{outcome.verdict:7} {outcome.path}  on {outcome.target}, {seconds(outcome.simulated_ms)}, {run}"
    ]
    if outcome.reason:
        text.append(f"    {outcome.reason}")
    for problem in outcome.problems:
        text += _problem_lines(outcome.path, problem)
    if outcome.story is not None:
        room = max(LEAST_STORY, SCREEN - len(text) - LAST_LINES)
        text += story_text.lines(outcome.story, whole, room)
    if ledger:
        text.append("    the ledger:")
        text += [f"      {entry}" for entry in outcome.ledger]
        text += [f"      player {player} has {score:,}" for player, score in sorted(outcome.scores.items())]
    return text


def _problem_lines(path: str, problem: Problem) -> list[str]:
    place = f"{path}:{problem.line}" if problem.line else "standing check" if problem.standing else path
    return [
        f"    {place}: expected {problem.expected}",
        f"      seen at {seconds(problem.at_ms)}: {problem.seen}",
    ]


def summary(outcomes: list[Outcome]) -> str:
    """One line that sums up all outcomes."""
    counts = [
        (verdict, sum(o.verdict == verdict for o in outcomes)) for verdict in ("PASS", "FAIL", "INVALID")
    ]
    verdicts = ", ".join(f"{count} {verdict}" for verdict, count in counts if count)
    simulated = sum(o.simulated_ms for o in outcomes)
    wall = sum(o.wall_s for o in outcomes)
    return f"{verdicts or 'no scripts'}; {seconds(simulated)} of play in {wall:.2f} s"


def as_json(outcomes: list[Outcome]) -> str:
    """All outcomes as JSON."""
    return json.dumps({"code": worst(outcomes), "scripts": [_data(o) for o in outcomes]}, indent=2)


class ProblemData(TypedDict):
    """A Problem in the JSON report."""

    line: int
    expected: str
    seen: str
    at_ms: int
    standing: bool


class OutcomeData(TypedDict):
    """An Outcome in the JSON report: an entry of `scripts`."""

    script: str
    title: str
    covers: list[str]
    target: str
    verdict: str
    code: int
    reason: str
    real_time: bool
    trace_hash: str
    records: int
    simulated_ms: int
    wall_s: float
    scores: dict[str, int]
    problems: list[ProblemData]
    last_records: list[str]
    story: list[str]
    ledger: list[str]


def _data(outcome: Outcome) -> OutcomeData:
    return {
        "script": outcome.path,
        "title": outcome.title,
        "covers": list(outcome.covers),
        "target": outcome.target,
        "verdict": outcome.verdict,
        "code": outcome.code,
        "reason": outcome.reason,
        "real_time": outcome.real_time,
        "trace_hash": outcome.digest,
        "records": outcome.records,
        "simulated_ms": outcome.simulated_ms,
        "wall_s": round(outcome.wall_s, 4),
        "scores": {str(player): score for player, score in sorted(outcome.scores.items())},
        "problems": [
            ProblemData(line=p.line, expected=p.expected, seen=p.seen, at_ms=p.at_ms, standing=p.standing)
            for p in outcome.problems
        ],
        "last_records": outcome.last,
        "story": story_text.lines(outcome.story, whole=True) if outcome.story is not None else [],
        "ledger": outcome.ledger,
    }


def write_junit(path: Path, outcomes: Iterable[Outcome]) -> None:
    """Write all outcomes as JUnit XML: FAIL is a failure, INVALID an error. Raises UsageError."""
    cases = list(outcomes)
    suite = ET.Element("testsuite", name="inlane replay", tests=str(len(cases)))
    suite.set("failures", str(sum(o.code == FAIL for o in cases)))
    suite.set("errors", str(sum(o.code > FAIL for o in cases)))
    suite.set("time", f"{sum(o.wall_s for o in cases):.3f}")
    for outcome in cases:
        _add_case(suite, outcome)
    root = ET.Element("testsuites")
    root.append(suite)
    ET.indent(root)
    try:
        ET.ElementTree(root).write(path, encoding="utf-8", xml_declaration=True)
    except OSError as error:
        raise UsageError(f"the report cannot be written: {error.strerror or error}", str(path)) from None


def _add_case(suite: ET.Element, outcome: Outcome) -> None:
    case = ET.SubElement(suite, "testcase", classname=Path(outcome.path).parent.as_posix())
    case.set("name", Path(outcome.path).stem)
    case.set("time", f"{outcome.wall_s:.3f}")
    if outcome.code != PASS:
        kind = ET.SubElement(case, "failure" if outcome.code == FAIL else "error")
        kind.set("message", outcome.reason or f"expected {outcome.problems[0].expected}")
        kind.text = "\n".join(lines(outcome))
    ET.SubElement(case, "system-out").text = f"trace {outcome.digest}" if outcome.digest else ""
