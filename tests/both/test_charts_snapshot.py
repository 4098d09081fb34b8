"""A snapshot at a random step of a random machine, taken up by a fresh engine: both go on alike.

A small count here; `inlane measure charts-kept` runs any number on either Python.
"""

from kept_charts import difference

TALLIED = (
    "taken with events waiting",
    "taken with internal events waiting",
    "taken with timers running",
    "taken with a frozen timer",
    "taken with something remembered",
    "deep histories",
    "parallel states",
)


def test_a_fresh_engine_goes_on_as_the_one_the_snapshot_was_taken_of():
    tally = {}
    for seed in range(60):
        assert difference(seed, tally) == ""
    assert [name for name in TALLIED if not tally.get(name)] == []


def test_without_the_snapshot_it_would_not():
    found = [difference(seed, {}, resume=False) for seed in range(20)]
    assert len([words for words in found if words]) > 10
