"""The device's side of the bench link: one session after another, one run after another.

It reads no clock and no line: the board hands in bytes and the time, and a way to write. Nothing
is tried twice. Whatever is not as it should be switches everything off, is told once (FAULT),
and only a new HELLO is heard after it. A host that watches what plays by itself changes nothing there:
what is wrong with its frames, or with its line, ends the watching alone.
"""

import hashlib

from firmware.base import ticks
from firmware.base.trace import COIL, RECORD
from firmware.board import Board
from firmware.link import facts, frames
from firmware.link.frames import HEAD, PAYLOAD, Receiver, Sender

DEAD_MAN_MS = 200  # real time: off after this silence, so that one late poll still keeps the promised 250

_IDLE = 0
_GREETED = 1
_RUNNING = 2
_WATCHED = 3


class Device:
    """The state of one line. `take` every byte; `tick` at least every few milliseconds."""

    def __init__(self, machine: "Machine", write: "Callable[[bytearray, int], None]") -> None:
        self.board = Board()
        self.real_time = False
        self._machine = machine
        self._in = Receiver()
        self._out = Sender(write)
        self._console: Console | None = None
        self._state = _IDLE
        self._nonce = b""
        self._run = 0
        self._settings: dict[str, int] = {}
        self._now = 0
        self._goal = -1
        self._coil = False
        self._touched = False  # a contact came over the line in this run, in real time
        self._lost = 0
        self._began = -1
        self._heard = 0
        self._catch_up = self._follow  # bound once: binding a method anew allocates
        self._answers = (
            # type, payload bytes, state it is allowed in, what to do
            (frames.SETTING, 5, _GREETED, self._setting),
            (frames.START, 5, _GREETED, self._start),
            (frames.CONTACT, 3, _RUNNING, self._contact),
            (frames.ADVANCE, 4, _RUNNING, self._advance),
            (frames.FINISH, 0, _RUNNING, self._finish),
            (frames.ALIVE, 0, _RUNNING, self._alive),
            (frames.ASK, 3, _RUNNING, self._ask),
            (frames.STOP, 0, _GREETED, self._stop),
            (frames.LOOK, 0, _WATCHED, self._look),
            (frames.ASK, 3, _WATCHED, self._ask),
        )

    def take(self, byte: int, now_ms: int) -> None:
        """One byte from the line, at the board's time (ticks of period 2^30)."""
        got = self._in.take(byte)
        if got == Receiver.NOTHING:
            return
        if got == Receiver.FRAME:
            act = self._handler(now_ms)
            if act:  # from here: a board has little stack for the calls between a frame and a feature
                try:
                    act(0)
                except Exception as error:
                    self._crash(error)
        elif self._state == _IDLE:
            return
        elif got == Receiver.BROKEN:
            self._fault(frames.DAMAGED, "a frame from the host arrived damaged")
        else:
            self._fault(frames.GAP, "a frame from the host is missing")

    def tick(self, now_ms: int) -> None:
        """Real time: let the console catch up with the board's clock, and see that the host lives."""
        if not self.real_time:
            return
        if self._began < 0:
            if not self._machine.is_settled():
                return
            self._began = now_ms
            self._heard = now_ms
            self.board.enable(True)
            self._out.begin(frames.STARTED)
            self._out.send()
        elif ticks.diff(now_ms, self._heard) > DEAD_MAN_MS:
            self._fault(frames.SILENT, "the host fell silent")
        elif self._touched and self._machine.contacts_refused():
            self._fault(frames.REFUSED, self._machine.contacts_refused())
        else:
            self._guarded(self._catch_up, now_ms)

    def live(self) -> "Console | None":
        """The console of a run in real time, for a board that has contacts of its own."""
        return self._console if self.real_time else None

    def in_session(self) -> bool:
        """Whether a host is there, or watches."""
        return self._state != _IDLE

    def all_off(self, reason: str) -> None:
        """Everything off and the run dropped; cannot fail, the board keeps the first reason."""
        self.board.all_off(reason)
        self.real_time = False
        self._console = None
        self._state = _IDLE

    def end(self, words: str) -> None:
        """The device's program ends, for this reason: everything off; a host in a session gets the reason."""
        if self._state == _IDLE:
            self.all_off(words)
        else:
            self._fault(frames.CRASHED, words)

    def _handler(self, now_ms: int) -> "Callable[[int], None] | None":
        """What the frame that came asks for; None when that is nothing, or refused."""
        kind = self._in.kind
        size = self._in.end - HEAD
        if kind == frames.HELLO:
            return self._hello if size == frames.NONCE + 1 else None
        if kind == frames.WATCH and size == frames.NONCE + 1 and self._state in (_IDLE, _WATCHED):
            return self._watch
        if self._state == _IDLE:
            return None
        self._heard = now_ms
        if self.real_time and self._began >= 0 and kind != frames.ALIVE:
            self._guarded(self._catch_up, now_ms)
        for known, expected, state, act in self._answers:
            if kind == known and size == expected and (self._state == state or kind == frames.STOP):
                return act
        if self._state != _IDLE:
            self._fault(frames.UNEXPECTED, f"a frame of type {kind} does not belong here")
        return None

    def _guarded(self, act: "Callable[[int], None]", argument: int) -> None:
        """Run it; any error in it switches off, ends the session, and is reported to the host."""
        try:
            act(argument)
        except Exception as error:
            self._crash(error)

    def _crash(self, error: Exception) -> None:
        """The rules broke; while watched, only the line or the answer did."""
        if self._state == _WATCHED:
            self._fault(frames.CRASHED, self._machine.explain(error))
            return
        console = self._console
        names = console.play.faults.names if console else []
        self.all_off("the rules broke")
        if console and not console.trace.lost:
            self._drain(console)  # what led to it
        also = "; also: " + ", ".join(names) if names else ""
        self._fault(frames.CRASHED, self._machine.explain(error) + also)

    def _fault(self, reason: int, words: str) -> None:
        watched = self._state == _WATCHED
        self.all_off(words)
        self._out.begin(frames.FAULT)
        self._out.u8(reason)
        self._out.put(words.encode()[: frames.WORDS_MOST])
        try:
            self._out.send()
        except OSError:  # what plays by itself goes on without anybody who reads
            if not watched:
                raise

    def _refuse(self, number: int) -> None:
        self._fault(frames.REFUSED, f"{number} in a frame of type {self._in.kind} is out of range")

    def _hello(self, _: int) -> None:
        self._machine.give_way()
        self.all_off("a new session began")
        self._run = 0
        self._settings = {}
        self._greet(_GREETED, self._machine.identify)

    def _watch(self, _: int) -> None:
        """Somebody looks at what plays by itself; records from before are not told."""
        console = self._machine.playing()
        self._greet(_WATCHED, self._machine.recognise)
        if console:
            console.trace.skip()
            self._lost = console.trace.lost
        else:
            self._fault(
                frames.REFUSED, "nothing plays by itself here: a host took over, or the program has ended"
            )

    def _greet(self, state: int, identify: "Callable[[bytes], bytes]") -> None:
        """The frames of a session are counted from here."""
        self._in.expect(1)
        self._out.restart()
        self._nonce = bytes(self._in.body[HEAD : HEAD + frames.NONCE])
        self._state = state
        self._out.begin(frames.WELCOME)
        self._out.u8(frames.PROTOCOL)
        self._out.put(identify(self._nonce))
        self._out.put(self._machine.name.encode()[: frames.NAME_MOST])
        if self._machine.ended:
            self._out.u8(0)
            self._out.put(self._machine.ended.encode()[: frames.ENDED_MOST])
        self._out.send()

    def _setting(self, _: int) -> None:
        place = self._in.body[HEAD]
        if place < len(self._machine.settings):
            self._settings[self._machine.settings[place]] = self._in.i32(1)
        else:
            self._refuse(place)

    def _start(self, _: int) -> None:
        mode = self._in.body[HEAD]
        seed = self._in.i32(1)
        if mode > frames.REAL_TIME or seed < 0:
            self._refuse(mode)
            return
        self._run += 1
        self._now = 0
        self._goal = -1
        self._coil = self._touched = False
        self._began = -1
        self.board = self._machine.board() if mode == frames.REAL_TIME else Board()
        if self.board.reason:
            self._fault(frames.REFUSED, self.board.reason)
            return
        self._console = self._machine.console(seed, self._settings, self.board)
        self._settings = {}
        self._state = _RUNNING
        if mode == frames.REAL_TIME:
            self.real_time = True  # the first tick says STARTED: building the console took a while
        else:
            self._out.begin(frames.STARTED)
            self._out.send()

    def _contact(self, _: int) -> None:
        switch = self._in.u16(0)
        closed = self._in.body[HEAD + 2]
        if switch >= self._machine.switches or closed > 1:
            self._refuse(switch)
        elif self.real_time and self._machine.contacts_refused():
            self._fault(frames.REFUSED, self._machine.contacts_refused())
        elif self._console:
            self._touched = True
            self._console.contact(switch, closed == 1)

    def _advance(self, _: int) -> None:
        goal = self._in.i32(0)
        if goal < (0 if self.real_time else self._now):
            self._refuse(goal)
        elif self.real_time:
            self._goal = goal
            self._reached()
        else:
            self._coil = False
            self._go(goal, True)
            self._done()

    def _follow(self, now_ms: int) -> None:
        self._go(ticks.diff(now_ms, self._began), False)
        self._reached()

    def _reached(self) -> None:
        """Real time: say so once the time that was asked for is there, or a coil wants the plant."""
        if self._console and self._goal >= 0 and (self._coil or self._now >= self._goal):
            self._goal = -1
            self._coil = False
            self._done()

    def _go(self, goal: int, until_coil: bool) -> None:
        """From due time to due time, so that the ring of records never fills between drains."""
        console = self._console
        while console:
            due = console.due()
            step = goal
            if 0 <= due < goal - self._now:
                step = self._now + (due or 1)
            self._now = console.run_to(step, until_coil)
            self._drain(console)
            self._machine.alive()
            if self._now >= goal or (until_coil and self._coil):
                return

    def _drain(self, console: "Console") -> None:
        trace = console.trace
        out = self._out
        while trace.held():
            out.begin(frames.RECORDS)
            n = trace.take(out.wire, PAYLOAD, frames.RECORDS_MOST)
            out.end = PAYLOAD + n * RECORD
            at = PAYLOAD + 4
            while at < out.end:  # a range with a step that is no literal would be allocated
                if out.wire[at] == COIL:
                    self._coil = True
                at += RECORD
            out.send()
        if trace.lost:
            console.play.faults.report("records_lost", 0, trace.lost)
            raise OverflowError(f"the trace lost {trace.lost} records")

    def _done(self) -> None:
        if self._console:
            self._out.begin(frames.DONE)
            self._out.u32(self._now)
            self._counts(self._console)
            self._out.send()

    def _counts(self, console: "Console") -> None:
        self._out.u32(console.trace.count)
        self._out.u32(console.lost())

    def _finish(self, _: int) -> None:
        console = self._console
        if not console:
            return
        self.board.all_off("the run ended")
        self.real_time = False
        self._console = None
        self._state = _GREETED
        self._drain(console)
        digest = console.trace.digest()
        self._out.begin(frames.FINISHED)
        self._out.put(digest)
        self._out.u32(console.trace.count)
        self._out.put(hashlib.sha256(self._nonce + self._run.to_bytes(4, "little") + digest).digest())
        self._out.send()

    def _alive(self, _: int) -> None:
        self._out.begin(frames.PRESENT)
        self._out.u32(self._now)
        self._out.send()

    def _look(self, _: int) -> None:
        """Send the oldest records that wait, and how many were lost since the watching began."""
        console = self._machine.playing()
        if not console:
            self._fault(frames.REFUSED, "it plays no more")
            return
        trace = console.trace
        out = self._out
        out.begin(frames.SEEN)
        out.u32(console.now)
        out.u32(trace.lost - self._lost)
        out.end += trace.take(out.wire, out.end, frames.LOOK_MOST) * RECORD
        out.send()

    def _ask(self, _: int) -> None:
        """Send the numbers of one kind; the console is only looked at."""
        what = self._in.body[HEAD]
        console = self._console if self._console else self._machine.playing()
        if what > frames.FAULTS:
            self._refuse(what)
        elif console:
            now = self._heard if console.board.limiter else console.timers.now
            facts.send(self._out, console, what, self._in.u16(1), self._machine.sensed(), now)

    def _stop(self, _: int) -> None:
        self.all_off("the host ended the session")


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from firmware.console import Console
    from firmware.link.machine import Machine
