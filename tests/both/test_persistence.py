"""What outlasts power: saved and loaded through a store, and what happens when it does not fit."""

from firmware.console import Console
from firmware.games.honey_flow import game
from firmware.play.counts import GAMES
from firmware.play.persistence import pack, unpack


class Shelf:
    """A store in memory; `busy` is asked at each save."""

    def __init__(self, kept=None, lost=()):
        self.kept = dict(kept or {})
        self.lost = list(lost)
        self.saves = 0
        self.busy = None

    def key(self, name):
        return name

    def load(self):
        return dict(self.kept)

    def save(self, pairs):
        if self.busy:
            assert not self.busy(), "saved with a ball in play or a coil on"
        self.kept = dict(pairs)
        self.saves += 1


class Numbered(Shelf):
    """A store that calls values by numbers."""

    def key(self, name):
        n = 0
        for letter in name:
            n = (n * 31 + ord(letter)) % 1_000_003
        return n


def machine(shelf, settings=None):
    console = Console(game, store=shelf, settings=settings)
    console.run_to(1000)
    return console


def test_a_first_start_saves_defaults_and_reports_nothing():
    shelf = Shelf()
    console = machine(shelf)
    assert console.play.faults.names == []
    assert (shelf.kept["version"], shelf.kept["starts"], shelf.kept["setting.balls"]) == (1, 1, 3)
    assert console.play.faults.start == 1


def test_best_scores_are_kept_by_the_numbers_of_their_places():
    shelf = Shelf()
    machine(shelf)
    for place, points in ((1, 2_000_000), (2, 1_500_000), (3, 1_000_000), (4, 500_000)):
        assert shelf.kept["value.high_scores.score_" + str(place)] == points
        assert shelf.kept["value.high_scores.name_" + str(place)] == 0


def test_settings_values_counts_and_faults_come_back():
    for make in (Shelf, Numbered):
        shelf = make()
        console = machine(shelf)
        console.settings.set_by_name("balls", 5)
        console.settings_changed()
        console.play.find("honey_jar").pot = None
        for value in console.memory.values:
            if value.name == "honey_jar.pot":
                value.value = 654_000
        console.play.counts.add(GAMES, 3)
        console.play.score.award_counts[2] = 9
        console.play.counts.closures[4] = 77
        console.play.faults.report("switch_stuck", 4)
        console.play.faults.report("save_damaged", 1)
        console.run_to(2000)
        console.contact(0, 1)
        console.run_to(3000)
        again = machine(shelf)
        assert again.settings.get("balls").value == 5
        assert [v.value for v in again.memory.values if v.name == "honey_jar.pot"] == [654_000]
        assert again.play.counts.get("games") == 3
        assert (again.play.score.award_counts[2], again.play.counts.closures[4]) == (9, 77)
        assert again.play.faults.names == ["switch_stuck", "save_damaged"]
        assert again.play.faults.numbers(0)[:2] == (4, 1)
        assert (again.persistence.unknown, again.persistence.missing, again.persistence.refused) == (
            [],
            [],
            [],
        )
        assert again.play.faults.start == 2


def test_unknown_names_are_kept_missing_and_refused_settings_are_defaults_and_all_is_reported():
    shelf = Shelf()
    machine(shelf)
    shelf.kept["setting.pancakes"] = 12
    del shelf.kept["setting.ball_save"]
    shelf.kept["setting.balls"] = 99
    console = machine(shelf)
    assert console.persistence.unknown == [("setting.pancakes", 12)]
    rows = [each.name for each in console.settings.all]
    assert console.persistence.missing == [rows.index("ball_save")]
    assert console.persistence.refused == [rows.index("balls")]
    assert (console.settings.get("ball_save").value, console.settings.get("balls").value) == (8, 3)
    assert console.play.faults.names == ["save_unknown", "save_missing", "save_refused"]
    assert shelf.kept["setting.pancakes"] == 12
    assert shelf.kept["setting.balls"] == 3


def test_a_newer_version_is_reported_and_what_is_known_of_it_is_used():
    shelf = Shelf()
    machine(shelf)
    shelf.kept["version"] = 2
    shelf.kept["setting.balls"] = 4
    console = machine(shelf)
    assert console.settings.get("balls").value == 4
    assert console.play.faults.names == ["save_is_newer"]


def test_a_loss_is_reported():
    console = machine(Shelf(lost=["half a sector"]))
    assert console.play.faults.names == ["save_damaged"]


def test_faults_are_shown_at_the_start():
    shelf = Shelf()
    first = machine(shelf)
    first.play.faults.report("wheel_mute")
    first.run_to(2000)
    first.contact(0, 1)
    first.run_to(3000)
    console = Console(game, store=shelf)
    assert bytes(console.pad.screen.cells[:16]).decode().replace("\0", "").strip() == "FAULTS REPORTED"
    assert console.pad.screen.is_up
    console.run_to(4000)
    assert not console.pad.screen.is_up


def test_given_settings_win_over_saved_ones():
    shelf = Shelf()
    machine(shelf, {"balls": 4})
    assert machine(shelf, {"balls": 2}).settings.get("balls").value == 2


def test_nothing_is_saved_while_a_ball_is_in_play_or_a_coil_is_on():
    shelf = Shelf()
    console = Console(game, store=shelf)
    console.run_to(100)
    before = shelf.saves
    shelf.busy = lambda: console.play.live or console.play.free or not console.coils.is_idle()
    console.play.out = 1
    console.play.count_free()
    console.play.faults.report("wheel_mute")
    console.contact(0, 1)
    console.run_to(300)
    assert shelf.saves == before
    console.play.out = 0
    console.play.count_free()
    console.coils.fire(console.coil_names.index("knocker"), 30)
    console.contact(0, 0)
    console.run_to(325)
    console.contact(0, 1)
    console.run_to(329)
    assert shelf.saves == before
    console.run_to(400)
    console.contact(0, 0)
    console.run_to(500)
    assert shelf.saves == before + 1


def test_a_faults_name_goes_through_numbers():
    for name in ("switch_stuck", "a", "coil_moved_nothing", "save_is_newer", "abcdefghijklmnopqrstuvwx"):
        packed = pack(name)
        assert unpack(packed) == name
        assert max(packed) < 1 << 30
    assert unpack(pack("Étoile")) == "_toile"


def test_the_coin_lockout_is_let_go_for_a_save_and_held_again():
    shelf = Shelf()
    console = machine(shelf, {"free_play": 0})
    lockout = console.coil_names.index("coin_lockout")
    assert console.coils.held(lockout)
    shelf.busy = lambda: not console.coils.is_idle()
    before = shelf.saves
    console.play.faults.report("wheel_mute")
    console.contact(0, 1)
    console.run_to(1100)
    assert shelf.saves == before + 1
    console.run_to(1200)
    assert console.coils.held(lockout)


def test_a_name_is_kept_as_five_bits_a_letter_and_six_letters_a_number():
    # _ is 1, a to z are 2 to 27, the point 28, and 1 to 3 are 29 to 31: what older saves have.
    assert pack("b_a") == [3 | 1 << 5 | 2 << 10, 0, 0, 0]
    assert pack("aaaaaaz") == [sum([2 << 5 * i for i in range(6)]), 27, 0, 0]
    assert pack(".123") == [28 | 29 << 5 | 30 << 10 | 31 << 15, 0, 0, 0]
    assert unpack([27, 2, 31, 1]) == "za3_"
