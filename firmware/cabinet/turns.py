"""Players' turns: each ball starts with its player's own values and chart states."""

from firmware.play.memory import BALL, GAME, PLAYER, PLAYERS


class PlayerTurns:
    """Saves one player's values and states and loads another's, between two events.

    Not a feature: states are exchanged while no transition is being taken.
    """

    def __init__(self, play: "RuleContext") -> None:
        self._play = play
        self._started = play.event("ball.started")
        self._game = play.event("game.started")
        self._regions: list[list[int]] = [[], [], [], []]  # by span
        self._own: list[tuple[int, list[bytearray]]] = []
        self._new_game = False
        self._next = 0

    def reserve(self) -> None:
        """Set-up is over: reserve memory for each player's chart states."""
        engine = self._play.engine
        for region in range(len(self._play.features)):
            span = self._play.features[region].span
            self._regions[span].append(region)
            if span == PLAYER:
                size = engine.region_size(region)
                self._own.append((region, [bytearray(size) for _ in range(PLAYERS)]))

    def request(self, player: int, new_game: bool) -> None:
        """The next ball is `player`'s (0 … 3)."""
        self._next = player
        self._new_game = new_game
        self._play.turn_requested = True

    def apply(self) -> None:
        """Start the turn that was requested, and post `ball.started`."""
        play = self._play
        play.turn_requested = False
        if self._new_game:
            self._clear_game()
            self._game.post(play.players)
        elif self._next != play.score.player:
            self._switch_player(play.score.player, self._next)
        play.score.player = self._next
        play.memory.reset(BALL)
        self._restart(BALL)
        play.score.factor = 1
        play.score.live = True
        play.score.changed = True
        play.tilted = False
        if play.lamps.dark:
            play.lamps.dark = False
            play.lamps.touch_all()
        play.show_all = True
        self._started.post((self._next + 1) * 16 + play.ball)

    def _clear_game(self) -> None:
        play = self._play
        play.memory.reset(GAME)
        play.memory.reset(PLAYER)
        self._restart(GAME)
        self._restart(PLAYER)
        for region, shares in self._own:
            for share in shares:
                play.engine.save_region(region, share, 0)

    def _switch_player(self, old: int, new: int) -> None:
        play = self._play
        play.memory.save_player(old)
        play.memory.load_player(new)
        for region, shares in self._own:
            play.engine.save_region(region, shares[old], 0)
            play.engine.load_region(region, shares[new], 0)

    def _restart(self, span: int) -> None:
        for region in self._regions[span]:
            self._play.engine.restart_region(region)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.rule_context import RuleContext
