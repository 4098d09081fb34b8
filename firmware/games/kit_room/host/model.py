"""An independent model of the kit room's rules.md: what each switch pays, without the game's own code."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from firmware.play.interfaces import RuleTable

LANDS = ("land.1", "land.2", "land.3")
LAND_POINTS = (3_000, 7_000, 12_000)
PLUNGE_MORE, PLUNGE_MOST = 2_000, 6_000
TARGETS = ("vice", "anvil", "saw")
BENCHES = ("bench.left", "bench.right")
CHAIN = BENCHES + ("saw",)
PLAYFIELD = LANDS + TARGETS + BENCHES + ("sling.left", "sling.right")
FILING = ("vice", "vice", "anvil")
FILING_MS, RUSH_MS, CHAIN_MS = 6_000, 16_000, 4_000
RUSH_MOST, RUSH_LEAST = 100_000, 20_000
RUSH_STEP = 500
MOST_CELLS = 50
BALLS = 3
TOLERANCE_MS = 5  # of windows: switches alone say when a ball is free


class Turn:
    """What lasts a ball."""

    def __init__(self, table: "RuleTable") -> None:
        self.live = False
        self.is_new = True
        self.aiming = True
        self.flying = False
        self.cells = self.step = 0
        self.made: set[str] = set()
        self.filing = table.window("filing.expired", self.filing_late)
        self.rush = table.window("rush.expired")
        self.chain = table.window("chain.expired")

    def filing_late(self) -> None:
        """From the start again."""
        self.step = 0

    def close(self) -> None:
        """The ball is over: every window closes."""
        self.live = self.is_new = False
        for window in (self.filing, self.rush, self.chain):
            window.stop()


class Model:
    """The kit room as its rule sheet says it. `table` keeps time and ledger."""

    def __init__(self, table: "RuleTable") -> None:
        self.table = table
        self.turn = Turn(table)
        self.turn.close()
        self.plunges: dict[int, int] = {}
        self.count = 1
        self.next = (1, 1)
        self.cabinet = {
            "game.started": self.game_started,
            "player.added": self.player_added,
            "ball.started": self.ball_started,
            "ball.ended": self.ball_ended,
            "tilted": self.tilted,
            "game.over": self.game_over,
            "game.slammed": self.slammed,
        }

    def game_started(self, players: int) -> None:
        """A new game."""
        self.turn.close()
        self.plunges = {}
        self.count = players
        self.next = (1, 1)
        self.table.new_game()

    def player_added(self, players: int) -> None:
        """One more plays."""
        self.count = players

    def ball_started(self, value: int) -> None:
        """A ball starts: `value` is 16 times the player (from 1) and the ball."""
        self.table.judge_turn(self.next, divmod(value, 16))
        player = value // 16
        self.next = divmod(value, 16)
        self.turn.close()
        self.table.start_ball(player)
        if self.table.in_trough() == BALLS:
            self.table.all_home()
        self.turn = Turn(self.table)
        self.plunges[player] = self.plunges.get(player, 0) + 1

    def ball_ended(self, _ball: int) -> None:
        """Wages, unless it tilted; then the next player's turn."""
        if self.turn.live:
            self.turn.close()
            self.table.owe("wages.paid", 500 * min(self.turn.cells, MOST_CELLS), 1)
        player, ball = self.next
        self.next = (player + 1, ball) if player < self.count else (1, ball + 1)

    def tilted(self, _value: int) -> None:
        """Nothing scores until the next ball."""
        self.turn.close()

    def slammed(self, _value: int) -> None:
        """The game is over for all."""
        self.turn.close()
        self.next = (0, 0)

    def game_over(self, _value: int) -> None:
        """Every ball was played, or the machine was slammed."""
        self.table.judge_end(self.next)

    def event(self, kind: str, name: str, value: int) -> None:
        """Another record: balls and games."""
        if kind == "event" and name in self.cabinet:
            self.cabinet[name](value)

    def settle(self) -> None:
        """The last record of this millisecond was given."""

    def edge(self, switch: str, closed: bool) -> None:
        """A debounced edge."""
        turn = self.turn
        if switch == "lane":
            turn.live = turn.live or (closed and turn.is_new)
            turn.is_new = turn.is_new and not closed
            turn.flying = turn.aiming and not closed
        elif closed and switch in PLAYFIELD:
            self.table.on_playfield()
            if turn.live:
                self.hit(switch)

    def hit(self, switch: str) -> None:
        """Every rule that a closing switch concerns."""
        self.plunge(switch)
        self.file(switch)
        self.rush(switch)
        self.chain(switch)
        self.turn.cells += switch in TARGETS

    def plunge(self, switch: str) -> None:
        """The first switch after a hand plunge."""
        if self.turn.flying and switch in LANDS:
            more = min(PLUNGE_MOST, PLUNGE_MORE * (self.plunges[self.next[0]] - 1))
            self.table.pay("plunge.landed", LAND_POINTS[LANDS.index(switch)] + more)
        self.turn.flying = self.turn.aiming = False

    def file(self, switch: str) -> None:
        """`vice`, `vice`, `anvil`, each within 6 s of the one before."""
        turn = self.turn
        if turn.step and not turn.filing.active:
            turn.step = 0
        if switch != FILING[turn.step]:
            return
        turn.step += 1
        turn.filing.start(FILING_MS)
        if turn.step == len(FILING):
            self.table.pay("filing.done", 50_000)
            turn.step = 0
            turn.filing.stop()

    def rush(self, switch: str) -> None:
        """`saw` starts a value that falls in 16 s; `bench.left` collects it."""
        rush = self.turn.rush
        if switch == "bench.left" and rush.active:
            points = RUSH_LEAST + (RUSH_MOST - RUSH_LEAST) * max(0, rush.left) // RUSH_MS
            self.table.pay("rush.collected", points - points % RUSH_STEP)
            rush.stop()
        elif switch == "saw" and not rush.active:
            rush.start(RUSH_MS)

    def chain(self, switch: str) -> None:
        """Different shots within 4 s each: 5,000 for the second, 5,000 more for each further one."""
        turn = self.turn
        if switch not in CHAIN:
            return
        if switch in turn.made or not turn.chain.active:
            turn.made = set()
        turn.made.add(switch)
        if len(turn.made) > 1:
            self.table.pay("chain.shot", 5_000 * (len(turn.made) - 1))
        turn.chain.start(CHAIN_MS)
        if len(turn.made) == len(CHAIN):
            turn.made = set()
