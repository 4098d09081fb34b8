"""Kite Day: an afternoon on a windy hill. Features in the order in which they answer a switch."""

from firmware.cabinet.ball_search import BallSearch
from firmware.cabinet.chimes import Chimes
from firmware.cabinet.credits import Credits
from firmware.cabinet.flow import Flow
from firmware.cabinet.hand_shooter import HandShooter
from firmware.cabinet.outhole import Outhole
from firmware.cabinet.replay import Replay
from firmware.cabinet.score_displays import MatchNumber, ScoreDisplays
from firmware.cabinet.tilt import Tilt
from firmware.games.kite_day import wiring as WIRING
from firmware.games.kite_day.features.best_flight import BestFlight
from firmware.games.kite_day.features.breeze import Breeze
from firmware.games.kite_day.features.extra_ball import ExtraBall
from firmware.games.kite_day.features.height import Height, Updraft
from firmware.games.kite_day.features.reel import Reel
from firmware.games.kite_day.features.small_points import SmallPoints
from firmware.games.kite_day.features.special import OutlaneSpecial, Special
from firmware.games.kite_day.features.string import String
from firmware.games.kite_day.features.tail import Tail
from firmware.games.kite_day.settings import SETTINGS

NAME = "kite_day"
TITLE = b"KITE DAY"

FEATURES = (
    Chimes,
    Updraft,
    SmallPoints,
    Breeze,
    Tail,
    Reel,
    Height,
    ExtraBall,
    OutlaneSpecial,
    Special,
    String,
    Outhole,
    HandShooter,
    BallSearch,
    Tilt,
    Credits,
    Replay,
    MatchNumber,
    BestFlight,
    Flow,
    ScoreDisplays,
)

SAVERS = ()  # a ball that drains is lost

__all__ = ["FEATURES", "NAME", "SAVERS", "SETTINGS", "TITLE", "WIRING"]
