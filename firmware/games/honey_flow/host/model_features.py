"""What each switch pays by rules.md: one function a rule, in the sheet's order."""

from typing import TYPE_CHECKING

from firmware.games.honey_flow.host.model_holes import Holes
from firmware.games.honey_flow.host.model_state import Unseen
from firmware.games.honey_flow.host.model_switches import (
    BEES,
    BUMPERS,
    FRAMES,
    INLANES,
    ORBITS,
    OUTLANES,
    PLAYFIELD,
    SLINGS,
    SMOKERS,
    STANDUPS,
)

if TYPE_CHECKING:
    from firmware.play.interfaces import RuleTable

RUNGS = (15_000, 40_000, 90_000, 200_000, 450_000)
RUNG_AWARDS = (
    "wax_ladder.rung_1",
    "wax_ladder.rung_2",
    "wax_ladder.rung_3",
    "wax_ladder.rung_4",
    "wax_ladder.rung_5",
)
ORBIT_MS = 1_500


class Features(Holes):
    """The features of Honey Flow as the rule sheet says them. `table` keeps time and ledger."""

    def __init__(self, table: "RuleTable") -> None:
        super().__init__(table)
        self.unseen = Unseen(table.settings["watch_balls"])

    def into_hive(self) -> None:
        """A ball came into the hive."""
        if self.turn.live:
            self.hit("hive")
        super().into_hive()

    def hit(self, switch: str) -> None:
        """Every rule that a closing switch concerns, in the sheet's order."""
        self.table.latch_factor(self.turn.nectar)
        if not self.counts(switch):
            self.no_shot(switch)
            return
        answered = self.lit_award_answers(switch)
        if switch in PLAYFIELD:
            self.turn.saves.playfield()
        self.small_points(switch, answered)
        self.comb_cells(switch)
        self.spring_flight(switch)
        self.bee_lanes(switch)
        self.nectar_flow(switch)
        self.pollen_run(switch)
        self.smoker_bank(switch)
        self.wax_ladder(switch)
        self.frames_bank(switch)
        self.waggle_dance(switch)
        self.honey_jar(switch)
        self.queens_cell(switch)
        self.hive_lock(switch)
        self.swarm(switch)
        self.guard_bee(switch)
        self.extra_ball(switch)
        self.swarm_starts(switch)

    def no_shot(self, switch: str) -> None:
        """A playfield switch that is no shot ends what waits for one."""
        self.turn.flying = self.turn.aiming = False
        self.turn.saves.playfield()
        self.extra_ball(switch)
        self.swarm_starts(switch)

    def counts(self, switch: str) -> bool:
        """Whether a closure is a shot: an orbit not within 1.5 s of the last, a ramp within 3 s of enter."""
        if switch in ORBITS:
            fresh = self.table.now - self.turn.orbits[switch] > ORBIT_MS
            if fresh:
                self.turn.orbits[switch] = self.table.now
            return fresh
        if switch.endswith(".made"):
            return self.turn.climbs(switch, self.table.now)
        if switch.endswith(".enter"):
            self.turn.entered[switch] = self.table.now
        return True

    def lit_award_answers(self, switch: str) -> bool:
        """Whether a lit award of the shot's own answers, which suppresses the shot's own points."""
        turn, player = self.turn, self.player
        if switch == "orbit.left":
            return player.nectar_lit or turn.dance == "orbit.left"
        if switch == "orbit.right":
            return turn.pollen.active or turn.dance == switch
        if switch == "ramp_right.made":
            return self.ladder_is_open() or turn.dance == switch
        if switch == "ramp_left.made":
            return turn.swarming
        if switch == "queen_cell":
            return self.cell_is_open()
        return switch == "hive" and player.lock_lit and not turn.swarming

    # Section 2

    def small_points(self, switch: str, answered: bool) -> None:
        """The points that every switch has of its own."""
        pay = self.table.pay
        if switch in BUMPERS:
            pay("small.bumper", 500)
        elif switch in SLINGS:
            pay("small.sling", 110)
        elif switch == "spinner":
            pay("small.spinner", 200)
        elif switch in STANDUPS:
            pay("small.standup", 1_000)
        elif switch in BEES:
            pay("small.bee_lane", 1_000)
        elif switch in INLANES:
            pay("small.inlane", 1_000)
        elif switch in OUTLANES:
            pay("small.outlane", 5_000)
        elif not answered:
            self.shot_points(switch)

    def shot_points(self, switch: str) -> None:
        """A shot that no lit award answered."""
        if switch.endswith(".made"):
            self.table.pay("small.ramp", 5_000)
        elif switch in ORBITS:
            self.table.pay("small.orbit", 2_500)
        elif switch in ("queen_cell", "hive"):
            self.table.pay("small.scoop", 2_500)

    def comb_cells(self, switch: str) -> None:
        """One cell for each of them but slings; one for every five turns of the spinner."""
        turn = self.turn
        if switch == "spinner":
            turn.spins += 1
            turn.cells += turn.spins % 5 == 0
        elif switch in PLAYFIELD + ("queen_cell", "hive"):
            turn.cells += switch not in SLINGS and not switch.endswith(".enter")

    # Section 5

    def spring_flight(self, switch: str) -> None:
        """1: the flashing lane as first switch of a plunge."""
        if switch in PLAYFIELD:
            flying, self.turn.flying, self.turn.aiming = self.turn.flying, False, False
            if flying and switch == BEES[self.turn.flash]:
                self.table.pay("spring_flight.landed", 15_000 * self.player.flights)

    def bee_lanes(self, switch: str) -> None:
        """2: all three lanes lit."""
        if switch not in BEES:
            return
        self.turn.bees[BEES.index(switch)] = True
        if self.unseen.fills(BEES, {bee for bee, lit in zip(BEES, self.turn.bees) if lit}):
            self.turn.bees = [False] * 3
            self.bees_complete()
            if not self.turn.dance:
                self.turn.dance = "orbit.left"

    def bees_complete(self) -> None:
        """2: the multiplier grows, or its points when it cannot."""
        player = self.player
        if player.times < 6:
            self.table.pay("bee_lanes.complete", 10_000)
            player.times += 1
            self.gold_cell()
        elif player.full_before:
            self.table.pay("bee_lanes.full", 25_000)
        else:
            player.full_before = True
            self.table.pay("bee_lanes.first_full", 100_000)
            self.table.expect("cue bees_full")

    def gold_cell(self) -> None:
        """3: a special for the multiplier that was drawn, once a player."""
        if self.player.times == self.table.drawn("gold cell") and not self.player.gold_found:
            self.player.gold_found = True
            self.special()

    def nectar_flow(self, switch: str) -> None:
        """4: turns light it, the left orbit starts it, turns lengthen it."""
        turn, player = self.turn, self.player
        if switch == "spinner":
            if turn.nectar.active:
                turn.nectar.left = min(40_000, turn.nectar.left + 500)
            player.turns += 1
            if player.turns >= self.table.settings["nectar_turns"]:
                player.turns, player.nectar_lit = 0, True
        elif switch == "orbit.left" and player.nectar_lit:
            player.nectar_lit = False
            self.start_nectar()

    def pollen_run(self, switch: str) -> None:
        """5: a value that bumpers build, for the right orbit after the left inlane."""
        turn = self.turn
        if switch in BUMPERS:
            turn.pollen_value = min(300_000, turn.pollen_value + 2_000)
        elif switch == "inlane.left":
            turn.pollen.start(14_000)
        elif switch == "orbit.right" and turn.pollen.active:
            self.table.pay("pollen_run.collected", turn.pollen_value)
            turn.pollen.stop()
            turn.pollen_value = 30_000

    def smoker_bank(self, switch: str) -> None:
        """6: all three; the spot target lights the lowest dark one."""
        lit = self.player.smokers
        dark = [name for name in SMOKERS if name not in lit]
        if switch == "spot" and dark:
            switch = dark[0]
        if switch not in SMOKERS:
            return
        lit.add(switch)
        if self.unseen.fills(SMOKERS, lit):
            lit.clear()
            self.table.pay("smoker_bank.complete", 15_000)
            self.turn.guard = True
            if self.player.ladder == "dark":
                self.player.ladder = "lit"

    def ladder_is_open(self) -> bool:
        """7: lit without limit, or within its window."""
        return self.player.ladder != "dark"

    def wax_ladder(self, switch: str) -> None:
        """7: the next rung; after the first shot within a window."""
        player, turn = self.player, self.turn
        if switch != "ramp_right.made" or not self.ladder_is_open():
            return
        self.table.pay(RUNG_AWARDS[player.rung - 1], RUNGS[player.rung - 1])
        turn.ladder.stop()
        if player.rung == 5:
            player.rung, player.ladder, player.topped = 1, "dark", True
            turn.topped_at = self.table.now
            if turn.nectar.active:
                self.table.expect("cue grand_wax")
            return
        player.rung, player.ladder = player.rung + 1, "timed"
        usual, fifth = (12_000, 6_000) if player.topped else (18_000, 9_000)
        turn.ladder.start(fifth if player.rung == 5 else usual)

    def frames_bank(self, switch: str) -> None:
        """8: odd completions light the seal, even ones the lock, the third the extra ball."""
        player = self.player
        if switch not in FRAMES:
            return
        player.frames.add(switch)
        if not self.unseen.fills(FRAMES, player.frames):
            return
        player.frames.clear()
        player.completions += 1
        if player.completions % 2:
            self.table.pay("frames_bank.odd", 20_000)
            player.sealed = True
        else:
            self.table.pay("frames_bank.even", 40_000)
            player.lock_lit = True
        if player.completions == 3:
            self.light_extra_ball()

    def waggle_dance(self, switch: str) -> None:
        """10: left orbit, right ramp, right orbit, the later two within 12 s."""
        turn = self.turn
        if switch == "orbit.left":
            if turn.dance == "orbit.left":
                self.table.pay("waggle.first", 10_000)
                turn.next_step("ramp_right.made")
            elif turn.dance == "ramp_right.made":
                turn.next_step("ramp_right.made")
        elif switch == "ramp_right.made" and turn.dance == switch:
            self.table.pay("waggle.second", 20_000)
            turn.next_step("orbit.right")
        elif switch == "orbit.right" and turn.dance == switch:
            turn.end_dance()
            self.win_jar()

    def honey_jar(self, switch: str) -> None:
        """11: grows with bumpers and bee lanes."""
        more = 1_000 if switch in BUMPERS else 5_000 if switch in BEES else 0
        self.jar = min(5_000_000, self.jar + more)

    def guard_bee(self, switch: str) -> None:
        """14: the kickback fires once."""
        if switch == "outlane.left" and self.turn.guard:
            self.turn.guard = False
            self.turn.saves.kicked()
            self.table.expect("cue kickback")
