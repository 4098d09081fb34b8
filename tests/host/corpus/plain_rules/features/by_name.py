"""Attributes by name: getattr, setattr, hasattr."""

from firmware.charts.model import ANY
from firmware.play.feature import Feature

JARS = ("left_jar", "right_jar")


class ByName(Feature):
    """Fill two jars in turn; the third hit pays both, 100 a drop on the left and 10 on the right."""

    name = "by_name"
    chart = ((ANY, "by_name", None, "hit"),)

    def __init__(self, play: "Playfield") -> None:
        super().__init__(play)
        self._award = self.award("paid")
        self.left_jar = 0
        self.hits = 0

    def hit(self, event: int) -> None:
        jar = JARS[self.hits % 2]
        if not hasattr(self, jar):
            setattr(self, jar, 5)
        setattr(self, jar, getattr(self, jar) + 1)
        self.hits += 1
        if self.hits == 3:
            self._award.pay(
                getattr(self, "left_jar") * 100 + getattr(self, "right_jar", 0) * 10 + self.missing()
            )

    def missing(self) -> int:
        return getattr(self, "third_jar", 1)


TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.playfield import Playfield
