"""Twenty-six small rules, each with one piece of plain Python and a script that scores by it."""

from firmware.cabinet.ball_save import BallSave
from firmware.cabinet.ball_search import BallSearch
from firmware.cabinet.credits import Credits
from firmware.cabinet.flow import Flow
from firmware.cabinet.news import News
from firmware.cabinet.scoreboard import Scoreboard
from firmware.cabinet.shooter import Shooter
from firmware.cabinet.tilt import Tilt
from firmware.cabinet.trough import Trough
from plain_rules import wiring as WIRING
from plain_rules.features.bits import Bits
from plain_rules.features.by_name import ByName
from plain_rules.features.class_attributes import ClassAttributes
from plain_rules.features.closures import Closures
from plain_rules.features.comprehensions import Comprehensions
from plain_rules.features.containers import Containers
from plain_rules.features.defaults import Defaults
from plain_rules.features.dispatch import Dispatch
from plain_rules.features.errors import Errors
from plain_rules.features.generators import Generators
from plain_rules.features.handed_on import HandedOn
from plain_rules.features.holders import Holders
from plain_rules.features.inheritance import Inheritance
from plain_rules.features.late_import import LateImport
from plain_rules.features.loops import Loops
from plain_rules.features.pairing import Pairing
from plain_rules.features.properties import Properties
from plain_rules.features.recursion import Recursion
from plain_rules.features.sets import Sets
from plain_rules.features.slices import Slices
from plain_rules.features.sorting import Sorting
from plain_rules.features.stars import Stars
from plain_rules.features.static_methods import StaticMethods
from plain_rules.features.tidying import Tidying
from plain_rules.features.twins import Twins
from plain_rules.features.wording import Wording
from plain_rules.settings import SETTINGS

NAME = "plain_rules"
TITLE = b"PLAIN RULES"

FEATURES = (
    ByName,
    Holders,
    Twins,
    Closures,
    Comprehensions,
    Inheritance,
    Defaults,
    Generators,
    Stars,
    ClassAttributes,
    Properties,
    StaticMethods,
    HandedOn,
    Errors,
    Dispatch,
    Wording,
    Sets,
    Sorting,
    Pairing,
    Loops,
    Tidying,
    Recursion,
    Slices,
    Bits,
    LateImport,
    Containers,
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

SAVERS = ("ball_save",)

__all__ = ["FEATURES", "NAME", "SAVERS", "SETTINGS", "TITLE", "WIRING"]
