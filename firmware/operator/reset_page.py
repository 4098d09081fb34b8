"""Set back: each kind of memory by itself, and only when open is pressed twice."""

from firmware.operator.service_page import ConfirmedListPage, words
from firmware.play.memory import PERSISTENT

SETTINGS, COUNTS, FAULTS, VALUES = range(4)


class Resets(ConfirmedListPage):
    """Settings, counts, the fault log, then each feature's persistent values."""

    def __init__(self, menu: "MenuNavigator") -> None:
        super().__init__(menu)
        self._features: list[str] = []
        for at in range(len(self.play.memory.values)):
            name = self._feature(at)
            if self.play.memory.values[at].span == PERSISTENT and name not in self._features:
                self._features.append(name)

    def count(self) -> int:
        """How many kinds of memory can be reset."""
        return VALUES + len(self._features)

    def show(self, at: int) -> None:
        """Write what would be reset, and what open does next."""
        name = ("SETTINGS", "COUNTS", "FAULTS")[at] if at < VALUES else words(self._features[at - VALUES])
        self.show_line(0, "SET BACK " + name)
        self.show_line(1, "OPEN AGAIN: YES" if self._confirmation.is_pending() else "OPEN TO DO IT")

    def open_(self) -> None:
        """Ask, then reset it."""
        if not self._confirmation.confirm():
            self.draw()
            return
        if self.at == SETTINGS:
            for setting in self.play.settings.all:
                setting.value = setting.default
            self.console.settings_changed()
        elif self.at == COUNTS:
            self.play.counts.clear()
            self.play.score.clear_award_counts()
        elif self.at == FAULTS:
            self.play.faults.clear()
        else:
            self._values(self._features[self.at - VALUES])
        self.show_line(1, "DONE")

    def _values(self, feature: str) -> None:
        for at in range(len(self.play.memory.values)):
            value = self.play.memory.values[at]
            if value.span == PERSISTENT and self._feature(at) == feature:
                value.value = value.start

    def _feature(self, at: int) -> str:
        """The feature that value number `at` belongs to."""
        return str(self.menu.names.of_values[at].partition(".")[0])


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.operator.navigator import MenuNavigator
