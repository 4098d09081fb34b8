"""How deep a game's rules call: a board's main loop and its callback share a small stack."""

import sys
from pathlib import Path
from types import CodeType, FrameType, TracebackType

import firmware
from firmware.console import Console
from hil.games import Game

START = Console.run_to.__code__


class Calls:
    """Watches a console in this thread while the context lasts.

    `deepest`: the deepest nesting of functions of firmware and game, from
    `Console.run_to` on. What is imported meanwhile is left out: the operator's pages, no rules.
    """

    def __init__(self, game: Game) -> None:
        self.deepest: tuple[str, ...] = ()
        self._roots = (str(Path(firmware.__file__).parent), str(game.folder))
        self._ours: dict[CodeType, bool] = {}
        self._stack: list[CodeType] = []

    def __enter__(self) -> "Calls":
        sys.setprofile(self._seen)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        sys.setprofile(None)

    def _seen(self, frame: FrameType, event: str, _: object) -> None:
        if event not in ("call", "return"):
            return
        code = frame.f_code
        ours = self._ours.get(code)
        if ours is None:
            ours = self._ours[code] = code.co_filename.startswith(self._roots)
        if not ours:
            return
        if event == "return":
            if self._stack:
                self._stack.pop()
        elif self._stack or code is START:
            self._stack.append(code)
            if len(self._stack) > len(self.deepest) and not any(c.co_name == "<module>" for c in self._stack):
                self.deepest = tuple(_called(each) for each in self._stack)


def _called(code: CodeType) -> str:
    return f"{Path(code.co_filename).stem}.{code.co_qualname}"
