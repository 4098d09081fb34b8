"""An independent model of rules.md: who plays, and what each switch pays, without the game's own code.

`Model` takes debounced switch edges, coils and the cabinet's records in order, and gives the table (see
`firmware/play/interfaces.py`) the awards that the rule sheet says. Times are milliseconds.

What chance draws (gold cell, wheel, match) is taken from the run; its odds are tested elsewhere. Within
TOLERANCE_MS of a window's end the run says when it is over, and within 5 s after a replay when the second one
follows. Not judged, since neither a switch nor a ball's place shows it: blink rates, flashers, displays (a
standing check compares the scores), cues but those of RECORDS, chattering and stuck switches, the order of
the ball search, how long a forgotten ball waits, letters of high scores, and what happens while nobody plays.
"""

from typing import TYPE_CHECKING

from firmware.games.honey_flow.host.model_holes import CELL_MS
from firmware.games.honey_flow.host.model_lamps import lamps, lamps_of_tilt
from firmware.games.honey_flow.host.model_rewards import REPLAY
from firmware.games.honey_flow.host.model_switches import BUTTONS, PLAYFIELD
from firmware.games.honey_flow.host.model_turns import BALLS, Turns

if TYPE_CHECKING:
    from firmware.play.interfaces import RuleTable

PLAYERS = 4
QUIET_MS = 3_000
HELD_MS = 2_000
SWARM_ENDS_MS = 20_000  # longer than a saved ball takes to be served, four pulses that fail included
RECORDS = (
    REPLAY,
    "event tilted",
    "event game.started",
    "event game.slammed",
    "event player.added",
    "cue warning",
    "cue special",
    "cue extra_ball",
    "cue match",
    "cue jar",
    "cue swarm",
    "cue kickback",
    "cue bees_full",
    "cue grand_wax",
)
TOLERANCE_MS = 20  # a contact's debounce: which ball of two the lane and the trough show first


class Model(Turns):
    """Honey Flow's turns, switches and cabinet."""

    def __init__(self, table: "RuleTable") -> None:
        super().__init__(table)
        self.cabinet = {
            "game.started": self.game_started,
            "player.added": self.player_added,
            "ball.started": self.ball_started,
            "ball.ended": self.ball_ended,
            "tilted": self.tilted,
            "search.look": self.searches,
            "ball.home": self.ball_home,
            "game.over": self.game_over,
            "game.slammed": self.slammed,
            "eject.hive": self.hive_ejects,
            "shown.wheel": self.wheel_shows,
            "ball_save.given": self.save_given,
            "guard_bee.given": self.grace_given,
            "ball.lost": self.lost,
        }

    # Switches

    def edge(self, switch: str, closed: bool) -> None:
        """A debounced edge."""
        self.balls.edge(switch, closed)
        if switch == "lane":
            self.lane(closed)
        if switch in PLAYFIELD and closed:
            self.unseen.saw(switch)
            self.balls.playfield(switch)
        self.keeper.edge(switch, closed)
        if closed:
            self.coins.edge(switch)
            self.at_any_time(switch)
        elif switch == "start":
            self.started_at = 0
        if closed and (self.turn.live or self.turn.is_new):
            self.turn.turn_side(switch)
        if closed and self.turn.live:
            self.closing(switch)

    def closing(self, switch: str) -> None:
        """A switch that closes while a ball is played."""
        if switch in BUTTONS:
            self.flipper(switch)
        elif switch.startswith("trough."):
            self.drained()
        elif switch == "tilt":
            self.swing()
        elif not switch.startswith("hive."):
            self.hit(switch)

    def at_any_time(self, switch: str) -> None:
        """What the cabinet's switches do whether or not a ball is played."""
        if switch.startswith("trough."):
            self.table.later(self.table.now + SWARM_ENDS_MS, self.judge_swarm_ends)
        elif switch == "tilt":
            self.quiet_at = self.table.now + QUIET_MS
        elif switch == "slam" and self.playing:
            self.table.expect("event game.slammed")
        elif switch == "start" and self.playing:
            self.start()

    def start(self) -> None:
        """Cabinet: in ball 1 it adds a player; held 2 s in a later ball it starts a new game."""
        if self.next[1] == 1:
            if self.count < PLAYERS and self.coins.are_enough():
                self.table.expect("event player.added")
            return
        pressed = self.started_at = self.table.now
        self.table.later(pressed + HELD_MS, lambda: self.start_held(pressed))

    def start_held(self, pressed: int) -> None:
        """Cabinet: the start button was held from `pressed` on."""
        restart = self.table.settings["restart"]
        may = restart == 2 or (restart == 1 and self.table.settings["free_play"] == 1)
        if self.started_at == pressed and self.playing and may and self.coins.are_enough():
            self.table.expect("event game.started")

    def swing(self) -> None:
        """Cabinet: the bob swings: so many warnings, then a tilt."""
        if self.turn.swings_anew(self.table.now):
            tilts = self.turn.swings > self.table.settings["tilt_warnings"]
            self.table.expect("event tilted" if tilts else "cue warning")

    def hive_ejects(self, _value: int) -> None:
        """The hive's coil throws a ball out."""
        self.held.judge_eject(self.balls.hive)
        self.balls.hive_ejects()

    # What flipper buttons and the shooter lane do

    def flipper(self, button: str) -> None:
        """Moves the flash of a waiting ball or the lights of bee lanes."""
        turn = self.turn
        by = -1 if button == "button.left" else 1
        if turn.aiming and self.table.closed("lane"):
            turn.flash = (turn.flash + by) % 3
        elif turn.live:
            turn.bees = [turn.bees[(lane - by) % 3] for lane in range(3)]

    def lane(self, closed: bool) -> None:
        """A ball came to the shooter lane, with which the ball's play begins, or left it."""
        turn = self.turn
        if closed:
            self.begins_in_lane()
            if turn.live and self.two_held() and self.held.held:
                turn.swarm_ready = not turn.swarming
        else:
            turn.flying = turn.aiming

    # What the run shows

    def event(self, kind: str, name: str, value: int) -> None:
        """Another record: balls and games, the wheel, the gold cell's lamp."""
        if kind == "lamp" and name.startswith("times.") and value > 1:
            self.gold_cell_blinks(int(name[-1]))
        elif kind == "lamp" and name == "cell" and value:
            self.cell_blinks()
        elif kind == "coil" and value:
            self.pulse(name)
        elif name == "swarm_over" and kind == "cue":
            self.swarm_over()
        elif kind == "event" and name in self.cabinet:
            self.cabinet[name](value)
        elif kind == "save":
            self.save(name, value)

    def pulse(self, coil: str) -> None:
        """A coil fired."""
        self.keeper.pulse(coil, self.turn.live)
        if coil == "knocker":
            self.knocks.knock()
        elif coil == "wheel_motor":
            self.wheels.begins()
        elif coil == "trough_eject" and self.waits_for_quiet:
            self.waits_for_quiet = False
            if self.table.now < self.quiet_at:
                self.table.object("tilt", "the next serve waits for 3 s of quiet", "served")

    def cell_blinks(self) -> None:
        """12: the cell's time begins."""
        if not self.turn.cell.active and self.keeper.may_be_up():
            self.turn.cell.start(CELL_MS)

    def gold_cell_blinks(self, times: int) -> None:
        """3: drawn once a game."""
        drawn = self.table.drawn("gold cell")
        if drawn != times and not self.draws_gold:
            self.table.object("gold cell", f"{drawn} all game", f"{times}")
        self.table.draw("gold cell", times)
        self.draws_gold = False

    def swarm_over(self) -> None:
        """13: it is over when one ball is left."""
        self.turn.swarming = False
        if self.table.in_trough() + 1 < BALLS:
            self.table.object("swarm", "more than one ball is in play", "over")

    def judge_swarm_ends(self) -> None:
        """13: two balls are in the trough for so long: it must be over."""
        rests = self.table.now - self.table.trough_moved_at >= SWARM_ENDS_MS
        if self.turn.live and self.turn.swarming and rests and self.table.in_trough() + 1 >= BALLS:
            self.table.object("swarm", "over, one ball is left", "it goes on")

    def save(self, name: str, value: int) -> None:
        """A kept value is saved: credits, and the digits that were drawn."""
        if name == "credits.credits":
            self.coins.saved(value)
        elif name == "match.drawn":
            self.table.draw("match", value)

    def settle(self) -> None:
        """The last record of this millisecond was given."""
        if self.turn.live or self.turn.is_new or self.ending:
            self.replay()
        if self.matching:
            self.matching = False
            self.match()
        self.coins.judge()

    def match(self) -> None:
        """Cabinet: a credit for each player whose last two digits were drawn."""
        if not self.table.settings["match"]:
            return
        for player in range(1, self.count + 1):
            if self.table.scores[player] // 10 % 10 == self.table.drawn("match"):
                self.win_credit()
                self.table.expect("cue match")

    def lamps(self) -> "dict[str, bool | None]":
        """Which lamps are lit; nothing is said while no ball is played."""
        if self.turn.tilted and not self.turn.ended:
            return lamps_of_tilt()
        return lamps(self) if self.turn.live else {}
