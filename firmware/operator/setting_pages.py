"""Settings one by one, and whole presets."""

from firmware.operator.sheet import Rows, SureRows, number, words

MANY = 200  # a range wider than this is walked in steps of a power of ten
SHIPPED = "AS SHIPPED"


class Each(Rows):
    """Less and more walk the settings; open begins a change, less and more change, open takes it.

    Line 1 shows by turns the name, what it means, its range and its usual value.
    """

    def __init__(self, walk: "Any") -> None:
        super().__init__(walk)
        self._all = self.play.settings.all
        self._changing = False
        self._n = 0

    def count(self) -> int:
        return len(self._all)

    def show(self, at: int) -> None:
        setting = self._all[at]
        names = self.walk.names
        name, unit, meaning = names.of_settings[at], names.of_units[at], names.of_meanings[at]
        limits = f"{value(unit, setting.least)} TO {value(unit, setting.most)}"
        usual = f"USUALLY {value(unit, setting.default)}"
        self.say(0, f"{words(name)}: {meaning}; {limits}; {usual}")
        if self._changing:
            self.say(1, f">{value(unit, self._n)} {after(unit)}")
        else:
            self.say(1, f"{value(unit, setting.value)} {after(unit)}")

    def open_(self) -> None:
        setting = self._all[self.at]
        if self._changing:
            self._changing = False
            self.play.settings.set(self.at, self._n)
            self.console.settings_changed()
        else:
            self._changing = True
            self._n = setting.value
        self.draw()

    def leave(self) -> bool:
        """Without taking the change that was begun."""
        if self._changing:
            self._changing = False
            self.draw()
            return False
        return True

    def _go(self, by: int) -> None:
        if not self._changing:
            super()._go(by)
            return
        setting = self._all[self.at]
        wanted = self._n + by * step(setting)
        if setting.least <= wanted <= setting.most:
            self._n = wanted
        else:
            self.refuse()
        self.draw()


class Presets(SureRows):
    """Less and more choose a preset (name, rows of setting and value); open twice takes it."""

    def __init__(self, walk: "Any") -> None:
        super().__init__(walk)
        self._sets = self.walk.presets

    def count(self) -> int:
        return len(self._sets)

    def none(self) -> None:
        self.say(0, "NO PRESETS")
        self.say(1, "")

    def show(self, at: int) -> None:
        self.say(0, "PRESET " + self._sets[at][0])
        self.say(1, "OPEN AGAIN: YES" if self._sure.asked() else "OPEN TO TAKE IT")

    def open_(self) -> None:
        if not self.count():
            self.refuse()
        elif self._sure.press():
            for name, n in self._sets[self.at][1]:
                self.play.settings.set(self.walk.names.of_settings.index(name), n)
            self.console.settings_changed()
            self.say(1, "TAKEN")
        else:
            self.draw()


def value(unit: str, n: int) -> str:
    """A value as the display shows it."""
    if unit == "yes":
        return "YES" if n else "NO"
    return number(n)


def after(unit: str) -> str:
    """The unit as it stands after a value; a yes has none."""
    return "" if unit in ("yes", "choice") else unit


def step(setting: "Setting") -> int:
    """How far one press goes."""
    by = 1
    while (setting.most - setting.least) // (by * 10) >= MANY:
        by *= 10
    return by


TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from firmware.play.settings import Setting
