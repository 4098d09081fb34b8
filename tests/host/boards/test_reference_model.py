"""Limiter and scan as they ship against the reference model, which shares no code with them."""

import pytest

from firmware.devices.native import limiter
from hil.benchmarks.reference_model import ReferenceModel, compare

REASONS = ("TOO_LONG", "RESTING", "HOT", "SUPPLY_TAKEN", "STORMING", "RESTED_ON", "NO_LENGTH")


def test_what_ships_does_what_the_reference_model_does() -> None:
    """60,000 random samples here; `inlane measure twin` runs any number."""
    met: set[str] = set()
    for seed in (1, 2, 3):
        counts, difference = compare(20_000, seed)
        assert difference == ""
        met |= set(counts)
    assert {"edges", "fired", "ended early"} <= met
    assert {f"refused for {getattr(limiter, reason)}" for reason in REASONS} <= met


@pytest.mark.sampled(3)
@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("_REARM_MS", 6),
        ("_REFIRES", 2),
        pytest.param("_QUIET_MS", 1999, marks=pytest.mark.slow),
        ("_STORM_COST", 190),
        ("_REPULSE_MS", 300),
        ("_UNIT", 1000),
        ("LEASE_MS", 499),
    ],
)
def test_a_limit_that_is_a_little_off_makes_them_differ(
    monkeypatch: pytest.MonkeyPatch, name: str, value: int
) -> None:
    monkeypatch.setattr(limiter, name, value)
    assert any(compare(20_000, seed)[1] for seed in range(6))


def test_a_model_that_forgets_a_resting_ball_differs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ReferenceModel, "again", lambda _self, kick: setattr(kick, "wait", -1))
    assert compare(20_000, 2)[1]
