"""What a player is owed by rules.md: the jar, the doubling, extra balls, specials, replays, the bonus."""

from typing import TYPE_CHECKING

from firmware.games.honey_flow.host.model_coins import Coins
from firmware.games.honey_flow.host.model_devices import Knocks
from firmware.games.honey_flow.host.model_state import Player, Turn
from firmware.games.honey_flow.host.model_switches import OUTLANES, PLAYFIELD

if TYPE_CHECKING:
    from firmware.play.interfaces import RuleTable

FALL_MS = 4_000
FOLLOW_MS = 5_000
COUNT_MS = 4_000
REPLAY = "event replay.reached"


class Rewards:
    """What a player is owed. `table` keeps time and ledger."""

    def __init__(self, table: "RuleTable") -> None:
        self.table = table
        self.players = [Player()]
        self.player = self.players[0]
        self.follows_until = 0
        self.jar = 800_000
        self.coins = Coins(table)
        self.knocks = Knocks(table)
        self.turn = Turn(table, self.ladder_late)
        self.turn.close()
        self.turn.ended = True

    def ladder_late(self) -> None:
        """7: dark, one rung down."""
        self.player.ladder = "dark"
        self.player.rung = max(1, self.player.rung - 1)

    def start_nectar(self) -> None:
        """4: 25 s, or what is left when that is more."""
        nectar = self.turn.nectar
        nectar.start(max(25_000, nectar.left) if nectar.active else 25_000)

    def win_jar(self) -> None:
        """11: paid, never multiplied; back to 400,000."""
        self.table.pay("honey_jar.won", self.jar, doubled=False)
        self.table.expect("cue jar")
        self.jar = 400_000

    def extra_ball(self, switch: str) -> None:
        """15: the side is read when the outlane closes."""
        turn = self.turn
        if switch in PLAYFIELD:
            turn.falls_until, turn.fallen = 0, False
        if switch in OUTLANES and self.player.extra_lit and switch == turn.side:
            turn.falls_until = self.table.now + FALL_MS

    def drained(self) -> None:
        """15: the ball reached the trough in time."""
        if self.turn.falls_until:
            self.turn.fallen = self.table.now <= self.turn.falls_until
            self.turn.falls_until = 0

    def saved(self, _value: int) -> None:
        """The ball is given back: the extra ball stays lit."""
        self.turn.falls_until, self.turn.fallen = 0, False

    def grace_given(self, value: int) -> None:
        """14: the guard's grace gave the ball back."""
        self.turn.saves.grace_given()
        self.saved(value)

    def save_given(self, value: int) -> None:
        """Cabinet: the ball save gave the ball back."""
        self.turn.saves.save_given()
        self.saved(value)

    def lost(self, in_play: int) -> None:
        """Cabinet: a ball was lost; with others in play it is no extra ball."""
        if in_play:
            self.turn.fallen = False
        if self.turn.live:
            self.turn.saves.lost()

    def light_extra_ball(self) -> None:
        """15: lit, or 25,000 when it is lit already."""
        if self.player.extra_lit:
            self.table.pay("extra_ball.lit_again", 25_000)
        self.player.extra_lit = True

    def win_extra_ball(self) -> None:
        """15: an extra ball up to the limit, then 50,000."""
        if self.player.extra_won < self.table.settings["extra_balls"]:
            self.table.expect("cue extra_ball")
            self.player.extra_won += 1
            self.player.owed += 1
        else:
            self.table.pay("extra_ball.instead", 50_000)

    def consolation(self, ball: int) -> None:
        """16: a last ball that starts with few points lights the extra ball."""
        least = self.table.settings["consolation"]
        if ball == self.table.settings["balls"] and not self.player.owed and self.table.score < least:
            self.light_extra_ball()

    def special(self) -> None:
        """17: as the setting says."""
        self.table.expect("cue special")
        self.knocks.expect()
        kind = self.table.settings["special"]
        if kind == 0:
            self.table.pay("special.points", 250_000)
        elif kind == 1:
            self.win_credit()
        elif kind == 2:
            self.win_extra_ball()

    def win_credit(self) -> None:
        """17: a credit, with a knock also in free play."""
        self.coins.win()
        self.knocks.expect()

    def replay(self) -> None:
        """Cabinet: each replay score, once a player, is a special. The second follows within FOLLOW_MS."""
        while self.replays_due() and (self.table.now >= self.follows_until or self.table.shows(REPLAY)):
            self.table.expect(REPLAY)
            self.player.replays.add(self.replays_due()[0])
            self.table.latch_factor(self.turn.nectar)
            self.special()
            self.follows_until = self.table.now + FOLLOW_MS

    def replays_due(self) -> list[str]:
        """The replays whose score is reached and which were not given."""
        least = {name: self.table.settings[name] for name in ("replay_1", "replay_2")}
        given = self.player.replays
        return [name for name in least if 0 < least[name] <= self.table.score and name not in given]

    def end_bonus(self, last: bool) -> None:
        """9 and 18: the bonus, twice or with cells kept when the seal is lit."""
        player, turn = self.player, self.turn
        cells = min(turn.cells, 120)
        points = 1_000 * (cells + turn.kept) * player.times
        times = 2 if player.sealed and last else 1
        if player.sealed and not last:
            player.kept = min(cells, 60)
        player.sealed = False
        self.table.owe("end_bonus.paid", points, times, times * COUNT_MS)
