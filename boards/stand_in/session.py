"""The stand-in's side of the line: frames as in `firmware.link.frames`, answers only to what was asked.

| from the host | what follows |
|---|---|
| HELLO | every contact opens; WELCOME with SHA-256(nonce + NAME) and NAME |
| CONTACT place, closed | the contact closes or opens |
| ALIVE | SEEN frames with the changes since the last, then PRESENT: now in ms, changes lost |
| ASK what, 0 | FACTS: what is on now, DRIVES as one number, LAMPS as rows for each column |
| STOP | every contact opens, the session ends |

Anything else, a damaged frame, and silence of SILENT_MS: every contact opens, FAULT, the session ends.
"""

import hashlib

from boards.stand_in.contacts import PLACES, Contacts
from boards.stand_in.samples import Samples
from firmware.base import ticks
from firmware.link import frames
from firmware.link.frames import HEAD, Receiver, Sender

NAME = b"stand_in"
SILENT_MS = 500
SEEN = 80  # up to SEEN_MOST changes: ms u32, line u16, level u16; see samples
SEEN_MOST = 28
DRIVES = 0
LAMPS = 1


class Session:
    """The state of one line. `take` every byte; `tick` at least some times a second; nothing waits.

    `moved()` is called after contacts changed.
    """

    def __init__(
        self,
        contacts: Contacts,
        samples: Samples,
        write: "Callable[[bytearray, int], None]",
        moved: "Callable[[], None]",
    ) -> None:
        self.is_open = False
        self._contacts = contacts
        self._samples = samples
        self._moved = moved
        self._in = Receiver()
        self._out = Sender(write)
        self._heard = 0
        self._answers = {
            # type: payload bytes, what to do
            frames.CONTACT: (3, self._contact),
            frames.ALIVE: (0, self._alive),
            frames.ASK: (3, self._ask),
            frames.STOP: (0, self.leave),
        }

    def take(self, byte: int, now_ms: int) -> None:
        """One byte from the line, at this time (ticks of period 2^30)."""
        got = self._in.take(byte)
        if got == Receiver.NOTHING:
            return
        if got != Receiver.FRAME:
            if self.is_open:
                self._fault(frames.DAMAGED, "a frame from the host arrived damaged, or is missing")
            return
        self._heard = now_ms
        size = self._in.end - HEAD
        if self._in.kind == frames.HELLO and size == frames.NONCE + 1:
            self._hello()
        elif self.is_open:
            self._answer(size)

    def tick(self, now_ms: int) -> None:
        """Open every contact when the host is silent."""
        if self.is_open and ticks.diff(now_ms, self._heard) > SILENT_MS:
            self._fault(frames.SILENT, "the host fell silent")

    def leave(self) -> None:
        """Every contact opens, the session ends; nothing is said."""
        self.is_open = False
        self._contacts.open_all()
        self._moved()

    def _answer(self, size: int) -> None:
        expected, act = self._answers.get(self._in.kind, (-1, self.leave))
        if size == expected:
            act()
        else:
            self._fault(frames.UNEXPECTED, f"a frame of type {self._in.kind} does not belong here")

    def _hello(self) -> None:
        self.leave()
        self._in.expect(1)
        self._out.restart()
        self._samples.forget()
        self.is_open = True
        nonce = bytes(self._in.body[HEAD : HEAD + frames.NONCE])
        self._out.begin(frames.WELCOME)
        self._out.u8(frames.PROTOCOL)
        self._out.put(hashlib.sha256(nonce + NAME).digest())
        self._out.put(NAME)
        self._out.send()

    def _contact(self) -> None:
        place = self._in.u16(0)
        closed = self._in.body[HEAD + 2]
        if place >= PLACES or closed > 1:
            self._fault(frames.REFUSED, f"place {place} may be 0 to {PLACES - 1}, closed 0 or 1")
            return
        self._contacts.set(place, closed == 1)
        self._moved()

    def _alive(self) -> None:
        samples = self._samples
        out = self._out
        while samples.held:
            out.begin(SEEN)
            for _ in range(min(samples.held, SEEN_MOST)):
                out.u32(samples.take(0))
                _put_u16(out, samples.take(1))
                _put_u16(out, samples.take(2))
            out.send()
        out.begin(frames.PRESENT)
        out.u32(samples.now_ms)
        out.u32(samples.lost)
        out.send()

    def _ask(self) -> None:
        what = self._in.body[HEAD]
        if what > LAMPS:
            self._fault(frames.REFUSED, f"{what} cannot be asked for")
            return
        out = self._out
        out.begin(frames.FACTS)
        out.u8(what)
        _put_u16(out, 0)
        for number in self._samples.lamps if what == LAMPS else (self._samples.drives,):
            out.u32(number)
        out.send()

    def _fault(self, reason: int, words: str) -> None:
        self.leave()
        self._out.begin(frames.FAULT)
        self._out.u8(reason)
        self._out.put(words.encode())
        self._out.send()


def _put_u16(out: Sender, number: int) -> None:
    out.u8(number & 0xFF)
    out.u8(number >> 8)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
