"""Operator settings: each with a range, a default, a unit and one line of meaning."""

from firmware.base.errors import GameError
from firmware.charts.suggest import did_you_mean


class Setting:
    """One setting; its present value is `value`."""

    def __init__(self, name: str, default: int, least: int, most: int, unit: str, meaning: str) -> None:
        self.name = name
        self.default = default
        self.least = least
        self.most = most
        self.unit = unit
        self.meaning = meaning
        self.value = default


class Settings:
    """The settings of one machine, made from the game's table of rows
    (name, default, least, most, unit, meaning)."""

    def __init__(self, rows: "tuple[tuple[str, int, int, int, str, str], ...]") -> None:
        self.all = [Setting(*row) for row in rows]

    def get(self, name: "SettingName") -> Setting:
        """The setting called `name`. Raises GameError with the near miss."""
        for setting in self.all:
            if setting.name == name:
                return setting
        raise GameError("there is no setting '" + name + "'" + did_you_mean(name, [s.name for s in self.all]))

    def set_by_name(self, name: str, n: int) -> None:
        """Change a setting. Raises GameError when it is out of range."""
        setting = self.get(name)
        if not self.set(self.all.index(setting), n):
            raise GameError(
                f"setting '{name}' was given {n}; it takes {setting.least} to {setting.most} {setting.unit}"
            )

    def set(self, place: int, n: int) -> bool:
        """Change the setting in row `place`; False when that is out of its range."""
        setting = self.all[place]
        if not setting.least <= n <= setting.most:
            return False
        setting.value = n
        return True

    def by_place(self, given: "dict[str, int]") -> "dict[int, int]":
        """Values by place instead of by name. Raises GameError as `set_by_name` does, and changes nothing."""
        found = {}
        for name in given:
            setting = self.get(name)
            before = setting.value
            self.set_by_name(name, given[name])
            setting.value = before
            found[self.all.index(setting)] = given[name]
        return found


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.name_types import SettingName
