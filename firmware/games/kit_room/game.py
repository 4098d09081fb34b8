"""The kit room: a tiny game that shows the parts of the kit Honey Flow does not use."""

from firmware.cabinet.ball_save import BallSave
from firmware.cabinet.ball_search import BallSearch
from firmware.cabinet.credits import Credits
from firmware.cabinet.flow import Flow
from firmware.cabinet.news import News
from firmware.cabinet.scoreboard import Scoreboard
from firmware.cabinet.shooter import Shooter
from firmware.cabinet.tilt import Tilt
from firmware.cabinet.trough import Trough
from firmware.games.kit_room import wiring as WIRING
from firmware.games.kit_room.features.chain import Chain
from firmware.games.kit_room.features.crew import Crew
from firmware.games.kit_room.features.filing import Filing
from firmware.games.kit_room.features.plunge import Plunge
from firmware.games.kit_room.features.rush import Rush
from firmware.games.kit_room.features.wages import Wages
from firmware.games.kit_room.settings import SETTINGS

NAME = "kit_room"
TITLE = b"KIT ROOM"

FEATURES = (
    Plunge,
    Filing,
    Rush,
    Chain,
    Crew,
    Wages,
    BallSave,
    Trough,
    Shooter,
    BallSearch,
    Tilt,
    Credits,
    Flow,
    Scoreboard,
    News,
)

# Asked in this order when a ball drains; the first that answers gives it back.
SAVERS = ("crew", "ball_save")

__all__ = ["FEATURES", "NAME", "SAVERS", "SETTINGS", "TITLE", "WIRING"]
