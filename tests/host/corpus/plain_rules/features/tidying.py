"""try with finally, return through it, and a context manager."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature


class Lid:
    def __init__(self, feature: "Tidying") -> None:
        self._feature = feature

    def __enter__(self) -> "Lid":
        self._feature.opened += 1
        return self

    def __exit__(self, kind: object, error: object, trace: object) -> bool:
        self._feature.closed += 1
        return isinstance(error, ValueError)


class Tidying(Feature):
    """A hit opens and closes twice, once through an error, and pays what is closed and who returned."""

    name = "tidying"
    chart = ((ANY, "tidying", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self.opened = 0
        self.closed = 0
        self._left = 0

    def hit(self, event: int) -> None:
        with Lid(self):
            self._award.pay(self._early(5))
        with Lid(self) as lid:
            self._fail(lid)
        self._award.pay(self.opened * 10_000 + self.closed * 1_000 + self._left * 100)

    def _early(self, n: int) -> int:
        try:
            for i in range(n):
                try:
                    if i == 3:
                        return i
                finally:
                    self._left += 1
        finally:
            self._left += 1
        return 0

    def _fail(self, lid: Lid) -> None:
        try:
            raise ValueError(str(lid is None))
        finally:
            self._award.pay(20)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
