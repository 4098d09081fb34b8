"""Measures how deep calls are nested while a game runs: a board's stack is small."""

import sys
from pathlib import Path
from types import CodeType, FrameType, TracebackType

import firmware
from firmware.console import Console
from hil.games import Game

START = getattr(Console.run_to, "__code__", None)  # compiled functions have none


class CallDepth:
    """A context in which this thread's calls are watched.

    `deepest`: the deepest nesting of functions of firmware and game, from `Console.run_to` inwards. Calls
    inside an import are left out: only the operator's pages are imported while a game runs.
    """

    def __init__(self, game: Game) -> None:
        self.deepest: tuple[str, ...] = ()
        self._roots = (str(Path(firmware.__file__).parent), str(game.folder))
        self._counted: dict[CodeType, bool] = {}
        self._stack: list[CodeType] = []

    def __enter__(self) -> "CallDepth":
        sys.setprofile(self._profile)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        sys.setprofile(None)

    def _profile(self, frame: FrameType, event: str, _: object) -> None:
        if event not in ("call", "return"):
            return
        code = frame.f_code
        counted = self._counted.get(code)
        if counted is None:
            counted = self._counted[code] = code.co_filename.startswith(self._roots)
        if not counted:
            return
        if event == "return":
            if self._stack:
                self._stack.pop()
        elif self._stack or code is START:
            self._stack.append(code)
            if len(self._stack) > len(self.deepest) and not any(c.co_name == "<module>" for c in self._stack):
                self.deepest = tuple(_name(each) for each in self._stack)


def _name(code: CodeType) -> str:
    return f"{Path(code.co_filename).stem}.{code.co_qualname}"
