"""A storage medium: sectors that are erased whole and programmed byte after byte."""


class Medium:
    """The base of every back end. Erased bytes read 0xFF; a byte is programmed once after an erase.

    `slow_erase`: an erase takes long and blinds the board, so that one is always done in advance; it
    needs three sectors at least. `checks_erase`: an erased sector is read back; a part whose bytes can be
    written over needs no such proof, since what is programmed is read back anyway. Errors are OSError.
    """

    sectors = 2
    sector_size = 4096
    slow_erase = False
    checks_erase = True

    def read(self, sector: int, offset: int, into: "bytearray | memoryview") -> None:
        """Fill `into` from byte `offset` of a sector."""
        raise NotImplementedError

    def program(self, sector: int, offset: int, data: "bytes | bytearray | memoryview") -> None:
        """Write `data` at byte `offset` of a sector, onto erased bytes."""
        raise NotImplementedError

    def erase(self, sector: int) -> None:
        """Make every byte of the sector 0xFF."""
        raise NotImplementedError
