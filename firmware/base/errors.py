"""What can go wrong, by who caused it."""


class InlaneError(Exception):
    """The root of our errors; the text is one sentence for the user.

    `where` is "file:line" when the cause has a place, else "".
    """

    def __init__(self, text: str, where: str = "") -> None:
        super().__init__(text)
        self.text = text
        self.where = where

    def __str__(self) -> str:
        return self.where + ": " + self.text if self.where else self.text


class GameError(InlaneError):
    """A game folder is wrong: wiring, chart, feature or setting. Caused by the rule author."""


class ChartError(GameError):
    """A chart is wrong. Caused by the rule author."""


class Livelock(ChartError):
    """The charts did not come to rest; the next event can be taken. Caused by the rule author."""


class ScriptError(InlaneError):
    """A switch script is wrong. Caused by the tester."""


class UsageError(InlaneError):
    """A command was given something it cannot take. Caused by whoever typed it."""


class LinkError(InlaneError):
    """The link or the rig failed, or the device is not the one asked for: the run is INVALID."""
