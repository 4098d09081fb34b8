"""A whole game moved by the names of its switches, and what it shows; not a test itself."""

from firmware.board import Board
from firmware.console import Console
from firmware.play.pages import CELLS, COMMA, POINT

PLAIN = 127
MARKS = {0: "", POINT: ".", COMMA: ",", POINT + COMMA: ".,"}


class Played(Board):
    """A console and its outputs, which are noted: display cells, lamps, coils, cues."""

    def __init__(self, game, settings=None, seed=1):
        self.chunks = {}
        self.lamps = {}
        self.coils = []
        self.cues = []
        self.console = None
        self.console = Console(game, self, seed, settings)
        self.play = self.console.play

    # Outputs ---------------------------------------------------------------------------------

    def text(self, chunk, cells):
        self.chunks[chunk] = cells

    def lamp(self, lamp, pattern):
        self.lamps[lamp] = pattern

    def pulse(self, coil, ms):
        self.coils.append((self.console.now, self.console.coil_names[coil], ms))

    def cue(self, cue):
        self.cues.append((self.console.now, cue))

    # Contacts and time -----------------------------------------------------------------------

    def contact(self, name, closed):
        self.console.contact(self.console.switch_names.index(name), closed)

    def wait(self, ms):
        self.console.run_to(self.console.now + ms)

    def close(self, name, ms=100):
        self.contact(name, 1)
        self.wait(ms)

    def open(self, name, ms=100):
        self.contact(name, 0)
        self.wait(ms)

    def post(self, event):
        """An event from a clock or the cabinet, processed at once."""
        self.play.engine.post(self.play.events.add(event), 0)
        self.play.engine.settle()

    def tap(self, *names):
        for name in names:
            self.close(name)
            self.open(name)

    # Balls of Honey Flow ---------------------------------------------------------------------

    def home(self):
        """Three balls come to rest in the trough."""
        for name in ("trough.1", "trough.2", "trough.3"):
            self.contact(name, 1)
        self.wait(1500)
        return self

    def start(self, players=1):
        """Start a game; its first ball waits in the shooter lane."""
        for _ in range(players):
            self.close("start", 250)
            self.open("start", 250)
        self.serve()
        return self

    def serve(self):
        """The ball that the trough ejects arrives in the lane."""
        self.open("trough.3")
        self.close("lane", 600)

    def launch(self, *names):
        """The ball leaves the lane, and closes these switches."""
        self.open("lane", 200)
        self.tap(*names)
        return self

    def drain(self, ms=700):
        """The last ball in play comes to rest in the trough."""
        self.close("trough.3", ms)

    # What is shown ---------------------------------------------------------------------------

    def shown(self, lamp):
        """The pattern of a lamp, by its name."""
        return self.lamps.get(self.play.lamps.names.index(lamp), 0)

    def line(self, line):
        """The sixteen cells of a line as text; a point or comma follows its cell."""
        cells = []
        for chunk in range((CELLS + 2) // 3):
            three = self.chunks.get(line * 8 + chunk, 0)
            cells += [three & 511, three >> 9 & 511, three >> 18 & 511]
        return as_text(cells[:CELLS])

    def page(self, page):
        """Both lines of a page, whether it is up or not."""
        width = len(page.cells) // 2
        return [as_text(list(page.cells)[line * width : line * width + CELLS]) for line in (0, 1)]


def as_text(cells):
    return "".join([chr(cell & PLAIN) + MARKS[cell & (POINT + COMMA)] for cell in cells])
