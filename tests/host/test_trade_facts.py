"""Facts of the trade that take a machine switched off and on: common practice, no source.

The others are scripts, which say so in their first line: windows stand still while no ball is free
(pollen_run_stands_still_in_the_hive and others), a tilt loses the bonus (end_bonus_lost_on_a_tilt),
an extra ball at an outlane is won only by draining there (extra_ball_another_switch), a bob that
swings on counts once (tilt_one_swing).
"""

from collections.abc import Iterable

from firmware.base.trace import COIL, RECORD
from hil import games
from hil.bench.names import of_console
from hil.bench.view import decode
from simulator.plant import Plant

GAME = games.load("honey_flow")
STEP = 20


class Shelf:
    """A store that keeps whole saves in a dict; power fails between two of them."""

    def __init__(self) -> None:
        self.saved: dict[str, int] = {}
        self.lost: list[str] = []

    def key(self, name: str) -> str:
        return name

    def load(self) -> dict[str, int]:
        return dict(self.saved)

    def save(self, pairs: Iterable[tuple[str, int]]) -> None:
        self.saved = dict(pairs)


class Machine:
    """A console with balls, from power-on until it is simply dropped."""

    def __init__(self, shelf: Shelf) -> None:
        settings = {"ball_save": 0, "replay_1": 0, "replay_2": 0}
        self.console = GAME.console(settings=settings, store=shelf)
        names = of_console(self.console)
        self.ids = {name: number for number, name in enumerate(names.switches)}
        self.plant = Plant(GAME.tables("routes"), tuple(names.switches), tuple(names.coils))
        self.plant.start(0)
        self.names = names
        self.run(1_500)

    def run(self, ms: int) -> None:
        until = self.console.now + ms
        taken = bytearray(RECORD * 256)
        while self.console.now < until:
            for switch, closed in self.plant.take(self.console.now):
                self.console.contact(self.ids[switch], closed)
            due = self.plant.due()
            goal = min(until, self.console.now + STEP, max(due or until, self.console.now + 1))
            self.console.run_to(goal, until_coil=True)
            count = self.console.trace.take(taken, 0, 256)
            for record in decode(bytes(taken[: count * RECORD])):
                if record.kind == COIL:
                    self.plant.coil(self.names.coils[record.id], record.value, record.ms)

    def tap(self, switch: str) -> None:
        for closed in (1, 0):
            self.console.contact(self.ids[switch], closed)
            self.run(60)

    def shoot(self, shot: str, **options: int) -> None:
        self.plant.shoot(shot, self.console.now, **options)
        self.run(4_000)

    def jar(self) -> int:
        return int(self.console.play.find("honey_jar")._jar.worth())


def started(shelf: Shelf) -> Machine:
    machine = Machine(shelf)
    machine.tap("start")
    machine.run(2_000)
    return machine


def test_pot_survives_power_loss_but_for_the_growth_of_the_ball_in_play():
    shelf = Shelf()
    first = started(shelf)
    first.shoot("plunge", lane=1, bumps=5)
    first.shoot("drain")
    first.run(8_000)
    after_one_ball = first.jar()
    assert after_one_ball == 800_000 + 5_000 + 5 * 1_000
    first.shoot("plunge", lane=0, bumps=4)
    assert first.jar() == after_one_ball + 4_000
    second = Machine(shelf)  # the power failed in the second ball
    assert second.jar() == after_one_ball


def test_pot_starts_at_its_floor_without_a_save():
    machine = started(Shelf())
    assert machine.jar() == 800_000


def test_score_beyond_eight_digits_shows_the_last_eight_and_the_rollover_insert():
    """Honey Flow's section 1; no script could score so much in bearable time."""
    machine = started(Shelf())
    machine.shoot("plunge", lane=0, bumps=0)
    machine.console.play.score.scores[0] = 99_999_990
    machine.tap("sling.left")
    play = machine.console.play
    assert play.score.scores[0] == 100_000_100
    lamp = play.lamps.names.index("rollover")
    assert play.lamps.shown[lamp] == 1
