"""Switch scripts as pytest's files and items."""

from collections.abc import Iterator
from os import PathLike
from typing import TYPE_CHECKING

import pytest

from hil.pytest_plugin.running import running_of, words

if TYPE_CHECKING:
    from _pytest._code.code import ExceptionInfo, TerminalRepr


class ScriptFile(pytest.File):
    """One script file."""

    def collect(self) -> Iterator[pytest.Item]:
        """Its one test, named after the file."""
        yield ScriptItem.from_parent(self, name=self.path.stem)


class ScriptItem(pytest.Item):
    """One script as a test."""

    def runtest(self) -> None:
        """Play it; the trace hash goes to the test's properties, and so to JUnit."""
        outcome = running_of(self.config).play(self.path)
        self.user_properties.append(("trace", outcome.digest))

    def repr_failure(
        self, excinfo: "ExceptionInfo[BaseException]", style: object = None
    ) -> "str | TerminalRepr":
        """The bench's report, without a traceback."""
        return words(excinfo.value) or super().repr_failure(excinfo)

    def reportinfo(self) -> tuple[PathLike[str] | str, int | None, str]:
        """File and name for the summary."""
        return self.path, None, self.name
