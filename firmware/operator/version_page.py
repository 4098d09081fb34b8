"""Versions and hashes: what this machine runs."""

import hashlib
import sys

from firmware.operator.service_page import ListPage, words

SHOWN = 12  # hexadecimal digits


class Versions(ListPage):
    """Game, hash of its tables, hash of its files (from the board), power-ons, the Python."""

    def count(self) -> int:
        """Game, tables, files, power-ons and Python."""
        return 5

    def show(self, at: int) -> None:
        """Write one of them."""
        first, second = (self._game, self._tables, self._files, self._starts, self._python)[at]()
        self.show_line(0, first)
        self.show_line(1, second)

    def _game(self) -> "tuple[str, str]":
        return "GAME", words(self.pad.game) or "NAMELESS"

    def _tables(self) -> "tuple[str, str]":
        """Names, wiring and settings: the same here and at the bench."""
        sha = hashlib.sha256()
        menu = self.menu
        for rows in (menu.switches, menu.lamps, menu.coils, menu.flippers):
            for row in rows:
                for cell in row:
                    sha.update(str(cell).encode() + b"\n")
        for i in range(len(menu.names.of_settings)):
            setting = self.play.settings.all[i]
            name = menu.names.of_settings[i]
            sha.update(f"{name} {setting.default} {setting.least} {setting.most}\n".encode())
        return "TABLES", _hex(sha.digest())

    def _files(self) -> "tuple[str, str]":
        files = self.console.board.files_digest
        return "FILES", _hex(files) if files else "BOARD SAYS NONE"

    def _starts(self) -> "tuple[str, str]":
        return "POWER-ONS", str(self.play.faults.start) if self.play.faults.start else "NOT COUNTED"

    def _python(self) -> "tuple[str, str]":
        major, minor, micro, *_ = sys.implementation.version
        return sys.implementation.name, f"{major}.{minor}.{micro}"


def _hex(digest: bytes) -> str:
    return digest.hex()[:SHOWN]
