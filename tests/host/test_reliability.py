"""The reliability rows at small counts, and that each of them can fail: planted faults are found."""

import pytest

from firmware.base.crc import Crc
from firmware.base.errors import UsageError
from firmware.link import device
from firmware.link.frames import Receiver
from hil.bench.targets import damage, wire
from hil.bench.targets import linked as link_target
from hil.benchmarks import reliability
from hil.benchmarks.reliability import MICROPYTHON, PROCESS, Result, lost_host, stalled_callback
from hil.benchmarks.reliability.codec import _damaged


@pytest.mark.parametrize("row", [5, 6, 18])
def test_a_row_passes_in_process(row):
    _, tier, result = reliability.run(row, 300, 1)
    assert tier == PROCESS
    assert result.passed, result
    assert result.ran >= 300


@pytest.mark.micropython
@pytest.mark.parametrize(("row", "count"), [(5, 300), (6, 100), (7, 4), (18, 9)])
@pytest.mark.slow
def test_a_row_passes_on_micropython(row, count):
    result = reliability.run(row, count, 1, MICROPYTHON)[2]
    assert result.passed, result
    assert result.ran >= count


def test_the_same_seed_injects_the_same_faults():
    one, two, other = (reliability.run(5, 200, seed)[2].counts for seed in (3, 3, 4))
    assert one == two != other


def test_sessions_both_survive_and_end_invalid():
    counts = reliability.run(6, 100, 1)[2].counts
    assert counts["sessions unharmed"] > 0
    assert counts["sessions INVALID"] > 0


def test_without_a_checksum_row_5_fails(monkeypatch):
    def never_minds(self, data, start, end):
        self.lo = data[end] | data[end + 1] << 8
        self.hi = data[end + 2] | data[end + 3] << 8

    monkeypatch.setattr(Crc, "over", never_minds)
    monkeypatch.setattr(
        reliability.importlib.import_module("hil.benchmarks.reliability.bad_line"), "sessions", nothing
    )
    assert not reliability.run(5, 300, 1)[2].passed


def test_without_sequence_numbers_row_6_fails(monkeypatch):
    true_open = Receiver._open

    def careless(self, held):
        got = true_open(self, held)
        return Receiver.FRAME if got == Receiver.MISSED else got

    monkeypatch.setattr(Receiver, "_open", careless)
    monkeypatch.setattr(
        reliability.importlib.import_module("hil.benchmarks.reliability.bad_line"), "sessions", nothing
    )
    assert not reliability.run(6, 300, 1)[2].passed


def nothing(*_):
    """Stands in for the sessions, which the planted fault would only make slow."""


def test_a_host_that_believes_any_identity_fails_row_18(monkeypatch):
    monkeypatch.setattr(link_target.LinkTarget, "_greet", believes)
    assert not reliability.run(18, 10, 1)[2].passed


def believes(self):
    self._nonce = bytes(16)
    self._run = 0
    self._link.greet(self._nonce, 1)


def test_a_host_that_believes_any_proof_fails_row_18(monkeypatch):
    monkeypatch.setattr(link_target, "proof", lambda nonce, run, digest: Anything())
    assert not reliability.run(18, 10, 1)[2].passed


class Anything(bytes):
    """Equal to whatever it is compared with."""

    def __eq__(self, other):
        return True

    def __ne__(self, other):
        return False

    __hash__ = bytes.__hash__


@pytest.mark.micropython
@pytest.mark.slow
def test_a_dead_man_that_is_late_fails_row_7(monkeypatch):
    # The board is the true one; the promise is what is made too short here.
    monkeypatch.setattr(lost_host, "PROMISE_MS", device.DEAD_MAN_MS // 2)
    assert not reliability.run(7, 1, 1)[2].passed


def test_a_host_that_drives_nothing_shows_nothing_in_row_7():
    result = Result()
    lost_host._judge(result, lost_host.Trial(False, 10, [], "the host fell silent"), "line still held")
    assert not result.passed


def test_an_output_that_stays_on_fails_row_7():
    result = Result()
    lost_host._judge(
        result, lost_host.Trial(True, 10, ["drive.8"], "the host fell silent"), "line still held"
    )
    assert not result.passed


def test_a_row_that_ran_nothing_has_not_passed():
    assert not Result().passed


def test_an_unknown_row_is_one_sentence():
    with pytest.raises(UsageError, match="row 99 of the reliability table is not here"):
        reliability.run(99, 1, 1)


def test_a_tier_that_a_row_does_not_have_is_one_sentence():
    with pytest.raises(UsageError, match="row 7 runs on micropython, not on 'process'"):
        reliability.run(7, 1, 1, PROCESS)


def test_damaged_frames_are_counted_once_each():
    packed = [wire.pack(i, 5, bytes([i])) for i in range(4)]
    good = b"".join(packed)
    assert _damaged(packed, good) == 0
    for at in range(len(good)):
        bad = bytearray(good)
        bad[at] ^= 64
        assert _damaged(packed, bytes(bad)) == 1


def test_flips_come_as_often_as_they_are_asked_for():
    from random import Random

    rng = Random(1)
    flip = damage.flips(rng, 1e-3)
    flipped = sum(byte.bit_count() for byte in flip(bytes(1_000_000)))
    assert 7_700 < flipped < 8_300  # 8,000 expected, three standard deviations are 268
    always = damage.flips(rng, 1e-5, always=True)
    assert all(any(always(bytes(30))) for _ in range(1000))


def test_row_22_passes_and_sees_a_run_that_forgets_heat_and_rest():
    counts = reliability.run(22, 20_000, 1, workers=1)[2]
    assert counts.passed, counts.wrong
    assert min(counts.counts[name] for name in ("fired", "refused", "ended", "runs", "stalls")) > 10
    assert stalled_callback.steps(True, (5_000, 1)).failures > 100


def test_row_22_sees_a_number_that_fits_no_word(monkeypatch):
    assert stalled_callback.checked(-(1 << 31)) == -(1 << 31)
    with pytest.raises(OverflowError, match="2147483648 does not fit 32 bits"):
        stalled_callback.checked(1 << 31)
    monkeypatch.setattr(stalled_callback, "WORD", 1 << 24)
    assert "does not fit" in stalled_callback.steps(False, (1000, 1)).wrong[0]
