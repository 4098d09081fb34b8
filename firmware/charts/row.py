"""One row of a chart, split into its fields."""

from firmware.base.errors import ChartError
from firmware.charts.model import After, External, Region, listed


class Row:
    """A transition as written; refuses what is not a row."""

    def __init__(self, region: Region, index: int) -> None:
        row = region.rows[index]
        self.number = index + 1
        self.where = f"chart '{region.name}', row {index + 1}"
        if not isinstance(row, tuple) or not 3 <= len(row) <= 5:
            raise ChartError(f"{self.where}: a row is (state, event, next, does, guard), not {row!r}")
        if not isinstance(row[0], str):
            raise ChartError(f"{self.where}: the state is a name, not {row[0]!r}")
        if not (row[1] is None or isinstance(row[1], (str, After))):
            raise ChartError(f"{self.where}: the event is a name, after(ms) or None, not {row[1]!r}")
        target = row[2]
        self.state: str = row[0]
        self.after = row[1] if isinstance(row[1], After) else None
        self.hears = tuple(row[1].split()) if isinstance(row[1], str) else ()
        self.external = isinstance(target, External)
        self.targets = self._names(target.targets if isinstance(target, External) else target)
        self.does = self._names(row[3] if len(row) > 3 else None)
        self.guard = "".join(self._names(row[4] if len(row) > 4 else None))

    def _names(self, field: object) -> "tuple[str, ...]":
        if field is None or isinstance(field, (str, tuple)):
            names = listed(field)
            for name in names:
                if not isinstance(name, str):
                    raise ChartError(f"{self.where}: a name is text, not {name!r}")
            return names
        raise ChartError(f"{self.where}: a name or a tuple of names, not {field!r}")


def rows_of(region: Region) -> "list[Row]":
    """Every row of `region`, in order."""
    return [Row(region, i) for i in range(len(region.rows))]
