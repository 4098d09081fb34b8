"""What a console does in each millisecond in which something is due: contacts, edges, timers, rules, outputs.

Most of the run time is spent here: a board may have it as machine code.
"""

from firmware.base import ticks
from firmware.base.ticks import HALF, MASK
from firmware.base.trace import EDGE, EVENT

MARK = b"\x01"  # the value of a set flag in a bytearray of flags


class Steps:
    """The base class of `firmware.console.Console`, which sets its fields up."""

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
    _raw: int  # contacts that changed since they were taken
    _changed: bytearray
    _level: bytearray
    _openings: "list[int]"
    _playfield_event: int
    _shows: "list[Feature | None]"
    _show_lamp: "Callable[[int, int], None]"
    _show_text: "Callable[[int, int], None]"

    def contact(self, switch: int, closed: int) -> None:
        """The contact of `switch` is closed (1) or open (0) from now on."""
        level = 1 if closed else 0
        play, reflexes = self.play, self.reflexes
        if play.live and not (
            reflexes.acts[switch]
            or self.timers.state[switch]
            or self._changed[switch]
            or play.score.paid
            or play.armed != reflexes.allowed
        ):  # debouncing is all that it leads to now, however often it changes in this millisecond
            if level != self.switches.raw[switch]:
                self.switches.change(switch, level)
            return
        self._level[switch] = level
        if not self._changed[switch]:
            self._changed[switch] = 1
            self._raw += 1

    def settled(self, switch: int, closed: int) -> bool:
        """A debounced edge from a board that scans by itself; False: call again after the next step."""
        return self.switches.settled(switch, closed)

    def due(self) -> int:
        """Milliseconds until something is due, −1 when nothing is."""
        return 0 if self._raw else self.timers.due()

    def run_to(self, now_ms: int, until_coil: bool = False) -> int:
        """Step from due time to due time up to `now_ms`; the time reached.

        With `until_coil` it stops right after a millisecond in which a coil was commanded. Times wrap
        at 2^30 (12.4 days), those in the trace as well.
        """
        coils, timers = self.coils, self.timers
        made = coils.made
        limit = ticks.add(now_ms & MASK, self._start)
        try:
            while (limit - timers.now) & MASK < HALF:
                if self._raw:
                    if self._take_contacts():
                        self._step()
                else:
                    first = timers.first
                    if first < 0 or (limit - first) & MASK >= HALF:
                        break
                    if first != timers.now:
                        self._set_time(first)
                    self._step()
                if until_coil and coils.made != made:
                    return self.now
        finally:
            if self.engine.new_losses:
                self.losses.report_new()
        if timers.now != limit:
            self._set_time(limit)
        return self.now

    def lost(self) -> int:
        """Records of the trace, events of the charts and edges of contacts that were lost."""
        return self.trace.lost + self.engine.dropped + self.coils.lost + self.edges_lost

    def _set_time(self, tick: int) -> None:
        """It is `tick` by the timers' count; trace and console count from the start."""
        self.timers.now = tick
        self.now = self.trace.now = (tick - self._start) & MASK

    def _step(self) -> None:
        """What is due in this millisecond: edges by switch, timers by (due, id), then outputs."""
        play, timers, switches = self.play, self.timers, self.switches.count
        score, now = play.score, timers.now
        if play.armed != self.reflexes.allowed:
            self.reflexes.renew()
        acted = not play.live
        while timers.first == now:
            number = timers.take()
            if number >= switches:
                self._timer(number)
                acted = True
            elif self._edge(number):
                acted = True
        if not acted and not score.paid:
            return  # such as the opening of a contact: nothing that is shown can have changed
        if score.paid:
            score.paid = False
            for listener in play.score_listeners:
                listener()
        if self.engine.pending or play.coils.count:
            self._react()
        self._resolve()

    def _take_contacts(self) -> bool:
        """The raw contacts of this millisecond, by switch; whether there is more to be done in it."""
        changed, switches = self._changed, self.switches
        reflexes, play = self.reflexes, self.play
        if play.armed != reflexes.allowed:
            reflexes.renew()
        left = self._raw
        self._raw = 0
        switch = -1
        while left:
            left -= 1
            switch = changed.find(MARK, switch + 1)
            changed[switch] = 0
            level = self._level[switch]
            if level != switches.raw[switch]:
                if reflexes.acts[switch]:
                    if reflexes.is_renewal_due():
                        reflexes.renew()
                    reflexes.change(switch, level)
                switches.change(switch, level)
        return self.timers.first == self.timers.now or not play.live or play.score.paid

    def _edge(self, switch: int) -> bool:
        """A debounced edge; whether anything may have come of it."""
        play, pad = self.play, self.pad
        play.closed[switch] = closed = self.switches.raw[switch]
        self.trace.note(EDGE, switch, closed)
        playfield = self.zones[switch] == 0
        if playfield:
            play.heard_at = self.now
        play.switch_monitor.record_edge(switch, closed)
        if (pad.awake or pad.buttons[switch]) and pad.handle_edge(switch, closed):
            self._react()
            return True
        if play.switch_monitor.muted[switch] or (playfield and not play.live):
            return False
        event = switch if closed else self._openings[switch]
        if event >= 0:
            self.engine.send(event)
            self._react()
        if closed and playfield:
            self.engine.send(self._playfield_event, switch)
            self._react()
        return event >= 0

    def _timer(self, timer: int) -> None:
        event = self.timers.event[timer]
        if event < 0:
            self.play.hooks[timer]()
        else:
            self.engine.send(event)
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
            if engine.moved or play.show_all:
                self._show()
            if play.coils.count:
                self._pass_on()
            if not play.turn_requested:
                return
            play.switch_monitor.ball_over()
            self.turns.apply()

    def _show(self) -> None:
        """Call `show` of every feature that answered; of all when everything changed."""
        touched, shows = self.engine.touched, self._shows
        self.engine.moved = False
        if self.play.show_all:
            self.play.show_all = False
            for chart in range(len(touched)):
                touched[chart] = 1
        chart = touched.find(MARK)
        while chart >= 0:
            touched[chart] = 0
            feature = shows[chart]
            if feature is not None:
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
        score, live = play.score, play.live
        changed = score.changed
        if changed or score.scored:
            score.changed = score.scored = False
            for refresh in play.display_listeners:
                refresh(changed)
        if play.lamps.touched:
            play.lamps.resolve(self._show_lamp)
        if play.pages.dirty:
            play.pages.resolve(self._show_text)
        if not live:
            self.idle()
        if changed or not live or self.lockout.stale:
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
