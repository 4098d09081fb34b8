"""Honey Flow: one summer in an apiary.

FEATURES is in the order in which charts answer an event. SAVERS is asked in its order when a ball drains:
the first that answers returns the ball to play.
"""

from firmware.cabinet.ball_save import BallSave
from firmware.cabinet.ball_search import BallSearch
from firmware.cabinet.credits import Credits
from firmware.cabinet.flow import Flow
from firmware.cabinet.high_scores import HighScores
from firmware.cabinet.match import Match
from firmware.cabinet.news import News
from firmware.cabinet.replay import Replay
from firmware.cabinet.report import Report
from firmware.cabinet.scoreboard import Scoreboard
from firmware.cabinet.shooter import Shooter
from firmware.cabinet.tilt import Tilt
from firmware.cabinet.trough import Trough
from firmware.games.honey_flow import wiring as WIRING
from firmware.games.honey_flow.features.f01_spring_flight import SpringFlight
from firmware.games.honey_flow.features.f02_bee_lanes import BeeLanes
from firmware.games.honey_flow.features.f03_gold_cell import GoldCell
from firmware.games.honey_flow.features.f04_nectar_flow import NectarFlow
from firmware.games.honey_flow.features.f05_pollen_run import PollenRun
from firmware.games.honey_flow.features.f06_smoker_bank import SmokerBank
from firmware.games.honey_flow.features.f07_wax_ladder import WaxLadder
from firmware.games.honey_flow.features.f08_frames_bank import FramesBank
from firmware.games.honey_flow.features.f09_kept_comb import KeptComb
from firmware.games.honey_flow.features.f10_waggle_dance import WaggleDance
from firmware.games.honey_flow.features.f11_honey_jar import HoneyJar
from firmware.games.honey_flow.features.f12_queens_cell import Keeper, QueensCell, QueensWheel
from firmware.games.honey_flow.features.f13_swarm import HiveLock, Swarm
from firmware.games.honey_flow.features.f14_guard_bee import GuardBee
from firmware.games.honey_flow.features.f15_extra_ball import ExtraBall
from firmware.games.honey_flow.features.f16_consolation import Consolation
from firmware.games.honey_flow.features.f17_special import Special
from firmware.games.honey_flow.features.f18_end_bonus import EndBonus
from firmware.games.honey_flow.features.f19_calling import Calling
from firmware.games.honey_flow.features.shots import (
    CellTunnel,
    Hive,
    LeftOrbit,
    LeftRamp,
    Porch,
    RightOrbit,
    RightRamp,
    Scoops,
)
from firmware.games.honey_flow.features.small_points import SmallPoints
from firmware.games.honey_flow.settings import SETTINGS

NAME = "honey_flow"
TITLE = b"HONEY FLOW"

FEATURES = (
    LeftOrbit,
    RightOrbit,
    LeftRamp,
    RightRamp,
    CellTunnel,
    Porch,
    Hive,
    Scoops,
    SmallPoints,
    SpringFlight,
    BeeLanes,
    GoldCell,
    NectarFlow,
    PollenRun,
    SmokerBank,
    WaxLadder,
    FramesBank,
    KeptComb,
    WaggleDance,
    HoneyJar,
    Keeper,
    QueensWheel,
    QueensCell,
    HiveLock,
    Swarm,
    GuardBee,
    ExtraBall,
    Consolation,
    Special,
    EndBonus,
    Calling,
    BallSave,
    Trough,
    Shooter,
    BallSearch,
    Tilt,
    Credits,
    Replay,
    Match,
    HighScores,
    Flow,
    Report,
    Scoreboard,
    News,
)

SAVERS = ("guard_bee", "swarm", "ball_save")


def service() -> "ServiceTables":
    """The tables of the operator's pages, imported when a page first needs them."""
    from firmware.games.honey_flow.service import SERVICE

    return SERVICE


__all__ = ["FEATURES", "NAME", "SAVERS", "SETTINGS", "TITLE", "WIRING"]

TYPE_CHECKING = False
if TYPE_CHECKING:
    from firmware.play.interfaces import ServiceTables
