"""Settings one by one, and whole presets."""

from firmware.operator.service_page import ConfirmedListPage, ListPage, number, words

MANY = 200  # a wider range is changed in steps of a power of ten
SHIPPED = "AS SHIPPED"


class Each(ListPage):
    """Less and more choose a setting; open begins a change, less and more change it, open takes it.

    Line 1 shows by turns the name, what it means, its range and its usual value.
    """

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._all = self.play.settings.all
        self._changing = False
        self._n = 0

    def count(self) -> int:
        """How many settings there are."""
        return len(self._all)

    def show(self, at: int) -> None:
        """Write a setting's name, meaning, range and value."""
        setting = self._all[at]
        names = self.menu.names
        name, unit, meaning = names.of_settings[at], names.of_units[at], names.of_meanings[at]
        limits = f"{value(unit, setting.least)} TO {value(unit, setting.most)}"
        usual = f"USUALLY {value(unit, setting.default)}"
        self.show_line(0, f"{words(name)}: {meaning}; {limits}; {usual}")
        if self._changing:
            self.show_line(1, f">{value(unit, self._n)} {after(unit)}")
        else:
            self.show_line(1, f"{value(unit, setting.value)} {after(unit)}")

    def open_(self) -> None:
        """Begin a change, or take it."""
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

    def _move(self, by: int) -> None:
        if not self._changing:
            super()._move(by)
            return
        setting = self._all[self.at]
        wanted = self._n + by * step(setting)
        if setting.least <= wanted <= setting.most:
            self._n = wanted
        else:
            self.refuse()
        self.draw()


class Presets(ConfirmedListPage):
    """Less and more choose a preset (name, rows of setting and value); open twice takes it."""

    empty = "NO PRESETS"

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._sets = self.menu.presets

    def count(self) -> int:
        """How many presets the game has."""
        return len(self._sets)

    def show(self, at: int) -> None:
        """Write a preset's name, and what open does next."""
        name, _settings = self._sets[at]
        self.show_line(0, "PRESET " + name)
        self.show_line(1, "OPEN AGAIN: YES" if self._confirmation.is_pending() else "OPEN TO TAKE IT")

    def open_(self) -> None:
        """Ask, then set every setting of the preset."""
        if not self.count():
            self.refuse()
        elif self._confirmation.confirm():
            _name, settings = self._sets[self.at]
            for name, n in settings:
                self.play.settings.set(self.menu.names.of_settings.index(name), n)
            self.console.settings_changed()
            self.show_line(1, "TAKEN")
        else:
            self.draw()


def value(unit: str, n: int) -> str:
    """A value as the display shows it."""
    if unit == "yes":
        return "YES" if n else "NO"
    return number(n)


def after(unit: str) -> str:
    """The unit as shown after a value; a yes has none."""
    return "" if unit in ("yes", "choice") else unit


def step(setting: "Setting") -> int:
    """How far one press goes."""
    by = 1
    while (setting.most - setting.least) // (by * 10) >= MANY:
        by *= 10
    return by


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.navigator import MenuNavigator
    from firmware.play.settings import Setting
