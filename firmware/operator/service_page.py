"""The base of every page: two lines of text, four buttons, every edge of a switch, ten ticks a second."""

from firmware.play.pages import CELLS, COMMA, POINT

TURN = 15  # ticks that one piece of a long text is shown
SURE = 50  # ticks in which a second press of open counts as yes


class ServicePage:
    """One page. Buttons call `less`, `more`, `open_`; `leave` returns whether the page is left.

    `show_line` shows a text in a line; one that does not fit is shown piece by piece.
    """

    def __init__(self, menu: "MenuNavigator") -> None:
        self.menu = menu
        self.pad = menu.pad
        self.console = menu.pad.console
        self.play = menu.play
        self._texts = ["", ""]
        self._pieces: list[list[str]] = [[""], [""]]
        self._shown = [0, 0]
        self._ticks = 0

    # For subclasses --------------------------------------------------------------------------

    def draw(self) -> None:
        """Write both lines."""

    def less(self) -> None:
        """The less button."""

    def more(self) -> None:
        """The more button."""

    def open_(self) -> None:
        """The open button."""

    def leave(self) -> bool:
        """The leave button; whether the page is left."""
        return True

    def stop(self) -> None:
        """The page closes, for whatever reason: stop everything it started."""

    def edge(self, switch: int, closed: int) -> None:
        """A debounced edge of any switch but the pad's."""

    def tick(self) -> None:
        """A tenth of a second passed."""

    # Shared ----------------------------------------------------------------------------------

    def refuse(self) -> None:
        """Play the sound of a press that does nothing."""
        self.menu.refused.play()

    def show_line(self, line: int, text: str) -> None:
        """Show `text` in line 0 or 1."""
        if text != self._texts[line]:
            self._texts[line] = text
            self._pieces[line] = pieces(text)
            self._shown[line] = 0
            self._ticks = 0
        self._paint(line)

    def scroll(self) -> None:
        """A tick passed: show the next piece of a long text every TURN ticks."""
        self._ticks += 1
        if self._ticks < TURN:
            return
        self._ticks = 0
        for line in range(2):
            if len(self._pieces[line]) > 1:
                self._shown[line] = (self._shown[line] + 1) % len(self._pieces[line])
                self._paint(line)

    def _paint(self, line: int) -> None:
        write(self.pad.screen, line, self._pieces[line][self._shown[line]])
        self.pad.screen.show()


class MenuPage(ServicePage):
    """A list of pages: less and more choose one, open enters it."""

    def __init__(self, menu: "MenuNavigator", title: str, rows: "tuple[MenuRow, ...]") -> None:
        super().__init__(menu)
        self._title = title
        self._rows = rows
        self._at = 0

    def draw(self) -> None:
        """Write the title, and the entry that is chosen."""
        self.show_line(0, spread(self._title, f"{self._at + 1}/{len(self._rows)}"))
        entry, _page = self._rows[self._at]
        self.show_line(1, "> " + entry)

    def less(self) -> None:
        """The entry before."""
        self._at = (self._at - 1) % len(self._rows)
        self.draw()

    def more(self) -> None:
        """The next entry."""
        self._at = (self._at + 1) % len(self._rows)
        self.draw()

    def open_(self) -> None:
        """Enter the page or list."""
        self.menu.enter(*self._rows[self._at])


class ListPage(ServicePage):
    """A page that shows one row of a list at a time. Subclasses give `count` and `show`."""

    empty = ""  # the first line when there is no row

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self.at = 0

    def count(self) -> int:
        """How many rows there are now."""
        raise NotImplementedError

    def show(self, at: int) -> None:
        """Write both lines of row `at`."""
        raise NotImplementedError

    def draw(self) -> None:
        """Write the present row, or that there is none."""
        n = self.count()
        if n:
            self.at = min(self.at, n - 1)
            self.show(self.at)
        else:
            self.show_line(0, self.empty)
            self.show_line(1, "")

    def less(self) -> None:
        """The row before."""
        self._move(-1)

    def more(self) -> None:
        """The next row."""
        self._move(1)

    def _move(self, by: int) -> None:
        n = self.count()
        if n:
            self.at = (self.at + by) % n
        self.draw()


class Confirmation:
    """A question: open pressed again within SURE ticks means yes, any other button means no."""

    def __init__(self) -> None:
        self._left = 0

    def is_pending(self) -> bool:
        """Whether a first press waits for the second."""
        return self._left > 0

    def confirm(self) -> bool:
        """Open was pressed; returns whether that was the second time."""
        if self._left:
            self._left = 0
            return True
        self._left = SURE
        return False

    def cancel(self) -> None:
        """Take the question back."""
        self._left = 0

    def tick(self) -> bool:
        """A tick passed; whether time for the second press just ran out."""
        if self._left:
            self._left -= 1
            return not self._left
        return False


class ConfirmedListPage(ListPage):
    """A list page where open acts only when it is pressed a second time."""

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._confirmation = Confirmation()

    def leave(self) -> bool:
        """A question is taken back first."""
        if self._confirmation.is_pending():
            self._confirmation.cancel()
            self.draw()
            return False
        return True

    def tick(self) -> None:
        """Take the question back when its time is over."""
        if self._confirmation.tick():
            self.draw()

    def _move(self, by: int) -> None:
        self._confirmation.cancel()
        super()._move(by)


def words(name: str) -> str:
    """A name from a table as the display shows it."""
    return name.replace("_", " ")


def number(n: int) -> str:
    """With commas."""
    text = str(n)
    parts: list[str] = []
    while len(text) > 3:
        parts.insert(0, text[-3:])
        text = text[:-3]
    parts.insert(0, text)
    return ",".join(parts)


def spread(left: str, right: str) -> str:
    """Two texts at the two ends of a line."""
    gap = CELLS - width(left) - width(right)
    return left + " " * max(gap, 1) + right


def width(text: str) -> int:
    """How many cells a text takes: a point or comma shares the cell before it."""
    n = 0
    for i in range(len(text)):
        if text[i] not in ".," or not i or text[i - 1] in " .,":
            n += 1
    return n


def pieces(text: str) -> "list[str]":
    """A text cut at spaces (long words at points) into pieces that fit a line."""
    if width(text) <= CELLS:
        return [text]
    found: list[str] = []
    line = ""
    for word in text.split():
        while width(word) > CELLS:
            head, point, tail = word.rpartition(".")
            if not point or width(tail) > CELLS:
                head, tail = word[:CELLS], word[CELLS:]
            if line:
                found.append(line)
            found.append(head)
            line, word = "", tail
        if line and width(line + " " + word) > CELLS:
            found.append(line)
            line = word
        else:
            line = line + " " + word if line else word
    if line:
        found.append(line)
    return found


def write(page: "Page", line: int, text: str) -> None:
    """Put a text into a display line: capitals, points and commas in the cell before them."""
    page.clear(line)
    at = 0
    before = " "
    cell = 32
    for char in text.upper():
        if char in ".," and before not in " .,":
            page.put(line, at - 1, cell + (POINT if char == "." else COMMA))
        elif at < CELLS:
            cell = ord(char) if 32 <= ord(char) < 127 else 32
            page.put(line, at, cell)
            at += 1
        before = char


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TypeAlias

    from firmware.operator.navigator import MenuNavigator
    from firmware.play.pages import Page

    # What a menu shows, and the page as MODULE.CLASS, or a further list.
    MenuRow: TypeAlias = "tuple[str, str | tuple[MenuRow, ...]]"
