"""What the checker says of random charts is what the engine then does with them."""

import itertools

import pytest
import random_charts as charts
from random_charts import Fast, Maker

from firmware.base.trace import MOVE, RECORD, Trace
from firmware.charts.events import hears
from hil.bench.view import decode
from hil.checks.chart_source.places import Place, Places
from hil.checks.chart_source.reading import Chart, ParsedCharts
from hil.checks.charts import traps, two_answers, unreachable

SEEDS = 200
STEPS = 60
NOWHERE = Places(Place(__file__, 0))


def read(fast, made):
    """The same charts as the checker reads them, each row's line its place among all rows."""
    own, count = [], 0
    for chart in made:
        region = fast.region(chart)
        rows = [Place(__file__, count + at) for at in range(len(region.rows))]
        count += len(rows)
        own.append(Chart(region, Places(Place(__file__, -1), rows)))
    return ParsedCharts(own)


def played(fast, seed):
    """The active states after each event, and every row that was taken."""
    fast.engine.trace = trace = Trace(1 << 14)
    fast.start()
    seen = []
    for name in ["", *charts.script(seed, STEPS)]:
        if name:
            fast.send(name)
        if fast.endless:
            break
        seen.append({state for state in range(1, fast.table.states) if fast.engine.is_active(state)})
        fast.world.log.clear()
    out = bytearray(RECORD * trace.capacity)
    count = trace.take(out, 0, trace.capacity)
    return seen, {record.id for record in decode(bytes(out[: count * RECORD])) if record.kind == MOVE}


def flagged(parsed, check):
    """The states that a check names."""
    named = {said.text.split("'")[1] for said in check(parsed)}
    return {state for state in range(1, len(parsed.tree)) if parsed.name(state) in named}


def outdone(parsed):
    """The rows for which another answers every event first."""
    told = {said.place.line for said in two_answers(parsed)}
    for at, transition in enumerate(parsed.transitions):
        if at in told:
            for first in parsed.transitions[:at]:
                free = not first.row.guard
                if (
                    first.source == transition.source
                    and free
                    and all(
                        word in first.events or any(one and word and hears(one, word) for one in first.events)
                        for word in transition.events
                    )
                ):
                    yield at


@pytest.mark.slow
def test_no_random_chart_does_what_the_checker_says_it_cannot():
    found = {"unreachable": 0, "trap": 0, "trapped": 0, "outdone": 0}
    for seed in range(SEEDS):
        made = Maker(seed).machine()
        fast = Fast(made)
        parsed = read(fast, made)
        seen, taken = played(fast, seed)
        never, stuck = flagged(parsed, unreachable), flagged(parsed, traps)
        beaten = set(outdone(parsed))
        found["unreachable"] += len(never)
        found["trap"] += len(stuck)
        found["outdone"] += len(beaten)
        assert not beaten & taken, seed
        for before, after in itertools.pairwise(seen):
            assert after <= parsed.reached, seed
            assert before & stuck <= after, seed
            found["trapped"] += bool(before & stuck)
    assert min(found.values()) > 50, found
