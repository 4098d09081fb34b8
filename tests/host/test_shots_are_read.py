"""`shoot` returns when the ball has come to rest and every contact of the shot has been read."""

from pathlib import Path
from types import ModuleType

from hil import games
from hil.bench import report
from hil.bench.outcome import PASS
from hil.bench.scripts import script
from hil.bench.scripts.vocabulary import of_game
from hil.bench.session import Session
from hil.bench.targets.desk import DeskTarget
from simulator.plant import Plant

GAME = games.load("honey_flow")
ROUTES = GAME.tables("routes")
HEADER = "title A shot\nset ball_save to 0\n"


def passes(text, routes=ROUTES):
    words = of_game(GAME)
    played = script.parse(text, Path("a.play"), words)
    plant = Plant(routes, words.names.switches, words.names.coils, seed=played.seed)
    outcome = Session(played, DeskTarget(GAME), words, GAME.wiring, plant).run()
    assert outcome.code == PASS, "\n".join(report.lines(outcome))


def routes_with(shot, *steps):
    """The demo's routes with other steps of one shot."""
    changed = ModuleType("routes")
    changed.__dict__.update({name: getattr(ROUTES, name) for name in dir(ROUTES) if name.isupper()})
    changed.__dict__["SHOTS"] = tuple(
        (name, start, options, words, steps if name == shot else old)
        for name, start, options, words, old in ROUTES.SHOTS
    )
    return changed


def test_a_device_without_a_switch_where_balls_come_in_is_waited_for():
    # The porch holds three balls and has a switch for the first alone: no contact tells that a ball rolls.
    header = "title The porch\nseed 6\nset wheel_odds to 2\nstart 1 player\nlaunch\n"
    passes(f"{header}shoot cell\nshoot cell\nexpect switch porch is closed\n")


def test_a_contact_just_before_the_flipper_is_read():
    hasty = routes_with("right_orbit", ("hit", 280, "orbit.right", 22), ("rest", 23, "flipper.left"))
    passes(HEADER + "start 1 player\nlaunch\nshoot right_orbit\nexpect switch orbit.right is open\n", hasty)
