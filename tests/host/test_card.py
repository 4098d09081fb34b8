"""The rule card is made of the game, and says when the game does not say enough."""

import re

import pytest

from firmware.base.errors import GameError
from hil import games
from hil.reports import card


@pytest.mark.parametrize("name", ["honey_flow", "kit_room", "kite_day"])
def test_every_rule_has_a_sentence_and_every_setting_a_meaning(name: str) -> None:
    made = card.card_of(games.load(name))
    assert made.rules
    assert all(re.search(r"\w{3}.*[.!?]$", rule.sentence) for rule in made.rules)
    assert all(len(choice.meaning) > 10 for choice in made.settings)


def test_every_numbered_feature_is_on_the_card() -> None:
    game = games.load("honey_flow")
    titles = {rule.title.replace(" ", "_") for rule in card.card_of(game).rules}
    numbered = {f.name for f in game.module.FEATURES if ".features.f" in f.__module__}
    assert numbered <= titles


def test_the_values_are_the_games_own() -> None:
    rules = {rule.title: dict(rule.pays) for rule in card.card_of(games.load("honey_flow")).rules}
    assert rules["wax ladder"]["rung 5"] == 450_000
    assert rules["small"]["sling"] == 110
    assert rules["smoker bank"]["complete"] == 15_000


def test_the_card_shows_present_settings() -> None:
    made = card.card_of(games.load("honey_flow"), {"balls": 5})
    assert next(c.value for c in made.settings if c.name == "balls") == 5
    assert "| balls | 5 balls |" in card.as_markdown(made)


def test_a_feature_without_a_sentence_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    game = games.load("honey_flow")
    pollen = next(f for f in game.module.FEATURES if f.name == "pollen_run")
    monkeypatch.setattr(pollen, "__doc__", None)
    with pytest.raises(GameError, match="pollen_run"):
        card.card_of(game)


def test_the_page_holds_every_rule() -> None:
    made = card.card_of(games.load("honey_flow"))
    page = card.as_svg(made)
    heights = [float(y) for y in re.findall(r' y="([\d.]+)"', page)]
    assert max(heights) < 292
    assert all(f">{rule.title.capitalize()}<" in page for rule in made.rules)


def test_a_sentence_shows_the_present_value_of_a_setting() -> None:
    made = card.card_of(games.load("honey_flow"), {"nectar_turns": 55})
    flow = next(rule for rule in made.rules if rule.title == "nectar flow")
    assert flow.sentence.startswith("55 spinner turns light")


def test_a_sentence_with_an_unknown_setting_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    game = games.load("honey_flow")
    pollen = next(f for f in game.module.FEATURES if f.name == "pollen_run")
    monkeypatch.setattr(pollen, "__doc__", "Pays after {nectar_turn} turns.")
    with pytest.raises(
        GameError, match="setting 'nectar_turn', which there is not; did you mean 'nectar_turns'"
    ):
        card.card_of(game)


@pytest.mark.parametrize("name", ["honey_flow", "kit_room", "kite_day"])
def test_the_page_ends_below_its_last_line(name: str) -> None:
    page = card.as_svg(card.card_of(games.load(name)))
    lowest = max(float(y) for y in re.findall(r' y="([\d.]+)"', page))
    height = float(re.findall(r'height="(\d+)mm"', page)[0])
    assert lowest < height < lowest + 25
