"""A millisecond in which something is due: contacts, edges, timers, the rules' answers, outputs.

Most of the run time is spent here: a board may have it as machine code.
"""

from firmware.base import ticks
from firmware.base.trace import EDGE, EVENT

MARK = b"\x01"  # the byte that marks a change


class Steps:
    """What a console does from millisecond to millisecond; `firmware.console` sets it up."""

    now: int
    timers: "Timers"
    trace: "Trace"
    play: "RuleContext"
    engine: "Engine"
    switches: "Switches"
    coils: "Coils"
    reflexes: "Reflexes"
    lockout: "CoinLockout"
    losses: "Losses"
    edges_lost: int
    ambient: "Ambient"
    pad: "ServicePad"
    turns: "PlayerTurns"
    zones: bytearray
    _start: int
    _raw: bool
    _changed: bytearray
    _level: bytearray
    _openings: "list[int]"
    _playfield_event: int
    _shows: "list[Feature | None]"
    _show_lamp: "Callable[[int, int], None]"
    _show_text: "Callable[[int, int], None]"

    def contact(self, switch: int, closed: int) -> None:
        """The contact of `switch` is closed (1) or open (0) from now on."""
        self._level[switch] = 1 if closed else 0
        self._changed[switch] = 1
        self._raw = True

    def settled(self, switch: int, closed: int) -> bool:
        """A debounced edge from a board that scans by itself; False: call again after the next step."""
        return self.switches.settled(switch, closed, self.timers.now)

    def due(self) -> int:
        """Milliseconds until something is due, −1 when nothing is."""
        if self._raw:
            return 0
        first, edge = self.timers.first, self.switches.first
        if edge >= 0 and (first < 0 or (edge - first) & ticks.MASK >= ticks.HALF):
            first = edge
        if first < 0:
            return -1
        wait = (first - self.timers.now) & ticks.MASK
        return wait if wait < ticks.HALF else 0

    def run_to(self, now_ms: int, until_coil: bool = False) -> int:
        """Step from due time to due time up to `now_ms`; the time reached.

        With `until_coil` it stops right after a millisecond in which a coil was commanded. Times wrap
        at 2^30 (12.4 days), those in the trace as well.
        """
        now_ms &= ticks.MASK
        left = ticks.diff(now_ms, self.now)
        made = self.coils.made
        wait = self.due()
        try:
            while 0 <= wait <= left:
                if wait:
                    left -= wait
                    self._set_time((now_ms - left) & ticks.MASK)
                self._step()
                if until_coil and self.coils.made != made:
                    return self.now
                wait = self.due()
        finally:
            if self.engine.new_losses:
                self.losses.report_new()
        if left:
            self._set_time(now_ms)
        return now_ms

    def lost(self) -> int:
        """Records of the trace, events of the charts and edges of contacts that were lost."""
        return self.trace.lost + self.engine.dropped + self.coils.lost + self.edges_lost

    def _set_time(self, now_ms: int) -> None:
        self.now = now_ms
        self.trace.now = now_ms
        self.timers.now = ticks.add(now_ms, self._start) if self._start else now_ms

    def _step(self) -> None:
        """Everything of this millisecond: contacts, edges by switch, timers by (due, id), outputs."""
        play, timers, switches = self.play, self.timers, self.switches
        if (self._raw or play.armed != self.reflexes.allowed) and self.reflexes.is_renewal_due():
            self.reflexes.renew()
        if self._raw:
            self._take_contacts()
            if play.live and not play.score.paid and self.due():
                return  # contacts alone change nothing that is shown
        while switches.first >= 0:
            switch = switches.pop(timers.now)
            if switch < 0:
                break
            self._edge(switch)
        timer = timers.next(timers.now)
        while timer >= 0:
            self._timer(timer)
            timer = timers.next(timers.now)
        if play.score.paid:
            play.score.paid = False
            for listener in play.score_listeners:
                listener()
        if self.engine.pending or play.coils.count:
            self._react()
        self._resolve()

    def _take_contacts(self) -> None:
        self._raw = False
        changed, switches = self._changed, self.switches
        switch = changed.find(MARK)
        while switch >= 0:
            changed[switch] = 0
            level = self._level[switch]
            if level != switches.raw[switch]:
                self.reflexes.change(switch, level)
                switches.change(switch, level, self.timers.now)
            switch = changed.find(MARK, switch + 1)

    def _edge(self, switch: int) -> None:
        closed = self.play.closed[switch]
        self.trace.note(EDGE, switch, closed)
        playfield = self.zones[switch] == 0
        if playfield:
            self.play.heard_at = self.now
        self.play.switch_monitor.record_edge(switch, closed)
        if (self.pad.awake or self.pad.buttons[switch]) and self.pad.handle_edge(switch, closed):
            self._react()
            return
        if self.play.switch_monitor.muted[switch] or (playfield and not self.play.live):
            return
        event = switch if closed else self._openings[switch]
        if event >= 0:
            self.engine.send(event, 0)
            self._react()
        if closed and playfield:
            self.engine.send(self._playfield_event, switch)
            self._react()

    def _timer(self, timer: int) -> None:
        hook = self.play.hooks.get(timer)
        if hook:
            hook()
        else:
            self.engine.send(self.timers.event[timer], 0)
        self._react()

    def _before_event(self, event: int) -> None:
        self.trace.note(EVENT, event, self.engine.value)
        self.play.score.latched = self.play.score.factor

    def _react(self) -> None:
        """Process events until none is left, call `show` of touched features, forward coil requests."""
        play, engine = self.play, self.engine
        while True:
            if engine.pending:
                engine.settle()
            chart = engine.touched.find(MARK)
            if chart >= 0 or play.show_all:
                self._show(chart)
            if play.coils.count:
                self._pass_on()
            if not play.turn_requested:
                return
            play.switch_monitor.ball_over()
            self.turns.apply()

    def _show(self, chart: int) -> None:
        """Call `show` of every feature that answered, from `chart` on; of all when everything changed."""
        touched, shows = self.engine.touched, self._shows
        if self.play.show_all:
            self.play.show_all = False
            for chart in range(len(touched)):
                touched[chart] = 1
            chart = 0
        while chart >= 0:
            touched[chart] = 0
            feature = shows[chart]
            if feature:
                feature.show()
            chart = touched.find(MARK, chart + 1)

    def _pass_on(self) -> None:
        """Hand the rules' coil requests to the governor."""
        requests = self.play.coils
        while requests.count:
            coil = requests.next_coil()
            ms = requests.next_ms()
            requests.drop()
            if not self.pad.coils_blocked or not self.pad.blocks_coil(coil):
                self.coils.request(coil, ms)

    def _resolve(self) -> None:
        play = self.play
        score = play.score
        changed = score.changed
        if changed or score.scored:
            score.changed = score.scored = False
            for refresh in play.display_listeners:
                refresh(changed)
        if play.lamps.touched:
            play.lamps.resolve(self._show_lamp)
        if play.pages.dirty:
            play.pages.resolve(self._show_text)
        if not play.live:
            self.idle()
        if changed or self.lockout.stale or not play.live:
            self.lockout.update(self.pad.coils_blocked)

    def idle(self) -> None:
        """No ball is in play: time for what a player does not wait for."""
        raise NotImplementedError


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.base.timers import Timers
    from firmware.base.trace import Trace
    from firmware.cabinet.turns import PlayerTurns
    from firmware.charts.engine import Engine
    from firmware.devices.coils import Coils
    from firmware.devices.coin_lockout import CoinLockout
    from firmware.devices.reflexes import Reflexes
    from firmware.devices.switches import Switches
    from firmware.pad import ServicePad
    from firmware.play.ambient import Ambient
    from firmware.play.feature import Feature
    from firmware.play.losses import Losses
    from firmware.play.rule_context import RuleContext
