"""Every damaged snapshot is refused and changes nothing: each bit, each byte, each place to cut."""

from kept_charts import Machine

from firmware.base.chance import Stream
from firmware.base.errors import ChartError
from firmware.charts import snapshot

SEEDS = 4
STEPS = 12


def stopped(seed):
    """A random machine between two events, some steps in."""
    machine = Machine(seed, 1000)
    machine.settle(machine.engine.start)
    for what, number in machine.script[:STEPS]:
        machine.step(what, number)
    return machine


def damages(saved, chance):
    """The snapshot with one damage each."""
    for at in range(len(saved)):
        for bit in range(8):
            yield saved[:at] + bytes([saved[at] ^ 1 << bit]) + saved[at + 1 :]
        other = (saved[at] + 1 + chance.below(255)) & 0xFF
        yield saved[:at] + bytes([other]) + saved[at + 1 :]
        yield saved[:at]
        if at and saved[at] != saved[at - 1]:
            yield saved[: at - 1] + bytes([saved[at], saved[at - 1]]) + saved[at + 1 :]
    yield saved + b"\0"
    yield saved + saved


def taken_up(engine, damaged):
    """Whether `restore` took it."""
    try:
        snapshot.restore(engine, damaged)
    except ChartError:
        return False
    return True


def test_no_damaged_snapshot_is_taken_up_and_none_changes_anything():
    tried = 0
    for seed in range(SEEDS):
        saved = snapshot.take(stopped(seed).engine)
        other = Machine(seed, 50)
        other.settle(other.engine.start)
        before = snapshot.take(other.engine)
        assert before != saved
        for damaged in damages(saved, Stream(seed, 2)):
            tried += 1
            assert not taken_up(other.engine, damaged), (seed, tried)
            assert snapshot.take(other.engine) == before
        assert other.engine.refused == tried
        tried = 0
        snapshot.restore(other.engine, saved)
        assert snapshot.take(other.engine) == saved


def test_the_refusal_says_whether_it_is_damaged_or_of_other_charts():
    saved = snapshot.take(stopped(0).engine)
    for data, word in (
        (saved[:-1], "damaged"),
        (b"", "damaged"),
        (snapshot.take(stopped(1).engine), "other charts"),
    ):
        try:
            snapshot.restore(stopped(0).engine, data)
        except ChartError as error:
            assert word in error.text, error.text
        else:
            raise AssertionError(word)
