"""A console that takes over from one of the same game makes the same trace from there on."""

import random
import sys

import pytest

from firmware.base.trace import RECORD
from hil import games
from hil.bench.scripts import script
from hil.bench.scripts.vocabulary import of_game
from hil.bench.session import Session
from hil.bench.targets.desk import DeskTarget
from hil.command.carry import carry_over
from simulator.plant import Plant

GAME = games.load("honey_flow")
WORDS = of_game(GAME)
NEVER = 1 << 30
PLAYED = (
    "whole_game",
    "swarm_first_ramp_is_the_jar",
    "waggle_dance_wins_the_jar",
    "wheel_mute",
    "bee_lanes_belong_to_the_player",
    "end_bonus_takes_at_most_4_seconds",
    "show_of_the_last_rung",
    "show_of_attract",
    "credits_coins_buy_games",
)


class Relay(DeskTarget):
    """Goes on with another console of the same game from `at_ms` on."""

    def __init__(self, at_ms):
        super().__init__(GAME)
        self.at_ms = at_ms
        self.lost = []

    def start(self, seed, settings):
        super().start(seed, settings)
        self.given = {"seed": seed, "settings": settings}

    def advance(self, until_ms):
        if self._console.now >= self.at_ms:
            self.at_ms = NEVER
            self._drain()
            fresh, new = GAME.console(**self.given), GAME.console(**self.given)
            new.trace.take(bytearray(RECORD * new.trace.held()), 0, new.trace.held())
            self.lost = carry_over(self._console, fresh, new)
            self._console = new
        return super().advance(until_ms)


def trace_of(name, at_ms=NEVER):
    """All records of a script, its end in ms, and what was lost at the change of consoles."""
    played = script.read(GAME.scripts / f"{name}.play", WORDS)
    target = Relay(at_ms)
    plant = Plant(GAME.tables("routes"), WORDS.names.switches, WORDS.names.coils, played.seed, varied=False)
    session = Session(played, target, WORDS, GAME.wiring, plant)
    parts = []
    records = target.records

    def kept():
        parts.append(records())
        return parts[-1]

    target.records = kept
    session.clock.finish = str  # the digest of a console that began late is another
    session.run()
    return b"".join(parts), session.clock.now, target.lost


def test_modules_and_objects_of_the_host_are_left_alone():
    consoles = [GAME.console(seed=1) for _ in range(3)]
    for console in consoles:
        feature = console.play.features[0]
        feature.game, feature.modules, feature.now = GAME, [sys, GAME.module], consoles.index(console)
    assert carry_over(*consoles) == []
    assert consoles[2].play.features[0].game is GAME


@pytest.mark.parametrize("name", PLAYED)
def test_a_change_to_the_same_game_changes_nothing_whenever_it_comes(name):
    expected, end, _ = trace_of(name)
    for at_ms in random.Random(name).sample(range(1, end), 3):
        found, _, lost = trace_of(name, at_ms)
        assert (at_ms, found == expected, lost) == (at_ms, True, [])
