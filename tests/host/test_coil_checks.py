"""A game's coils against the sums: what `inlane check` is told."""

from dataclasses import replace

import pytest

from firmware.devices.limiter_state import build
from firmware.devices.native import limiter as c
from hil import games
from hil.checks import coils as coil_checks
from hil.checks.build import Built
from hil.checks.coil_tables import feed_of
from hil.checks.source import Finding
from hil.electrical import windings
from hil.electrical.sums import limits


class Source:
    shown = "honey_flow"


def found(monkeypatch, **tables):
    """Findings with rows of the game's coil data replaced."""
    game = games.load("honey_flow")
    told = game.tables("coils")
    for name, value in tables.items():
        monkeypatch.setattr(told, name, value)
    return list(coil_checks.coil_findings(Built(Source(), game, None, [])))


def fatal(findings):
    return [finding.text for finding in findings if finding.fatal]


def row(name, **changes):
    """The rows with one coil's fields changed by position."""
    rows = games.load("honey_flow").tables("coils").COILS
    return tuple(
        tuple(changes.get(f"f{i}", value) for i, value in enumerate(each)) if each[0] == name else each
        for each in rows
    )


def test_the_demos_coils_are_sound(monkeypatch):
    findings = found(monkeypatch)
    assert fatal(findings) == []
    assert all(isinstance(finding, Finding) for finding in findings)


@pytest.mark.parametrize(
    ("tables", "words"),
    [
        (lambda: {"COILS": row("bumper.1", f6="6.3 slow")}, "not promised to open"),
        (lambda: {"COILS": row("bumper.1", f0="bumpr.1")}, "is not wired; did you mean 'bumper.1'"),
        (lambda: {"COILS": row("keeper_reset", f3=40)}, " bears"),
        (lambda: {"SUPPLY": (70.0, 0.3, "smoothed", "not guarded", "isolated")}, "above the 60 V"),
        (
            lambda: {"SUPPLY": (48.0, 0.3, "smooth", "not guarded", "isolated")},
            "it takes 'smoothed' or 'unsmoothed'",
        ),
        (lambda: {"SUPPLY": (48.0, 0.3, "smoothed", "not guarded")}, "has 4 fields; it takes 5"),
        (
            lambda: {"SUPPLY": (48.0, 0.3, "smoothed", "not guarded", "insulation unknown")},
            "is dangerous at any voltage",
        ),
        (lambda: {"COILS": row("flipper.left.hold", f1=120.0)}, "would settle at"),
        (lambda: {"COILS": row("bumper.1", f1="4")}, "coil 'bumper.1' has '4' for ohms; it takes a number"),
        (lambda: {"COILS": row("bumper.1", f3=24.5)}, "has 24.5 for gauge; it takes a whole number"),
        (lambda: {"COILS": row("bumper.1", f6=2)}, "has 2 for fuse; it takes a text"),
        (
            lambda: {"COILS": ("bumper.1",)},
            "a row of COILS is a tuple that begins with a name, not 'bumper.1'",
        ),
        (lambda: {"COILS": None}, "host/machine.py needs COILS, a tuple, not None"),
        (
            lambda: {"SUPPLY": ("48", 0.3, "smoothed", "guarded", "isolated")},
            "has the volts '48', which is no number",
        ),
    ],
)
def test_refused_in_one_sentence(tables, words, monkeypatch):
    assert [text for text in fatal(found(monkeypatch, **tables())) if words in text]


def test_a_held_drive_with_a_zener_is_refused(monkeypatch):
    game = games.load("honey_flow")
    coils = tuple((*each[:5], 25) if each[0] == "bumper.1" else each for each in game.wiring.COILS)
    monkeypatch.setattr(game.wiring, "COILS", coils)
    assert [text for text in fatal(found(monkeypatch)) if "held by PWM with a zener" in text]


def test_the_wiring_tables_limits_lie_within_the_derived_ones():
    game = games.load("honey_flow")
    budgets = coil_checks.budgets(game)
    longest = {each[0]: each[3] for each in game.wiring.COILS}
    for name, budget in budgets.items():
        assert longest[name] <= budget.longest_ms, name
        assert budget.bucket_ms > longest[name]
    assert "bumper.1" in budgets
    assert "flipper.left.hold" not in budgets


def test_budgets_keep_the_demos_coils_below_their_class():
    for drive in coil_checks.drives(games.load("honey_flow")):
        if not drive.forever and not drive.bears:
            budget = coil_checks.budgets(games.load("honey_flow"))[drive.name]
            assert limits.simulate(replace(drive), budget, 120, 0.002) <= drive.limit


@pytest.mark.parametrize("name", ["honey_flow", "kit_room", "kite_day"])
def test_the_demos_governor_has_the_budgets_and_amperes_of_the_sums(name):
    game = games.load(name)
    assert list(game.wiring.HEAT) == coil_checks.heat_rows(game)
    assert windings.supply_bears(feed_of(game)) == game.wiring.SUPPLY_MA
    built = build(game.wiring)
    coils = [row[0] for row in game.wiring.COILS]
    for coil, current, budget, percent in game.wiring.HEAT:
        row = c.HEAD + coils.index(coil) * c.COIL
        assert built[row + c.CURRENT] == current
        if budget:
            assert built[row + c.BUDGET] == budget * c.UNIT
            assert built[row + c.COOLS] == c.UNIT * percent // 100
    assert windings.volts_low_mv(feed_of(game)) == game.wiring.COIL_VOLTS_LOW_MV
