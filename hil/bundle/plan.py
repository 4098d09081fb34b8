"""What to bundle, and what comes of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from hil.bundle.guess import Unsure
from hil.bundle.modules import Symbol

IMAGE = ".image"  # an image's file lies beside its module's


@dataclass(frozen=True)
class Plan:
    """The parts of a bundle called `name`.

    `entries`: symbols that are used from outside and keep their names; those of `beside` stay in
    files of their own. `images`: functions, each with the object that it is to give, made on the
    host. `keep`: attributes of classes that are used from outside. `let_go`: a function that is to
    drop what an image left in globals. `without`: classes to leave out, for finding out what they cost.
    """

    name: str
    entries: tuple[Symbol, ...]
    images: Mapping[Symbol, Any]
    beside: tuple[Symbol, ...] = ()
    keep: tuple[tuple[Symbol, str], ...] = ()
    let_go: Symbol | None = None
    packages: tuple[str, ...] = ("firmware", "boards")
    without: frozenset[Symbol] = frozenset()
    short: bool = True

    def file_of(self, function: Symbol) -> str:
        """The module that holds the image which `function` gives."""
        return f"{self.name}_{function.name}"


@dataclass(frozen=True)
class Bundle:
    """Sources and images by module name; `names` and `lines` tell what a traceback there means."""

    sources: dict[str, str]
    images: dict[str, bytes]
    names: str
    lines: str
    unsure: Unsure  # what was found out, for the next bundle of the same code
