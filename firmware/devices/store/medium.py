"""What a store is kept on: sectors that are erased whole and programmed byte after byte."""


class Medium:
    """Every back end offers this. Erased bytes read 0xFF; a byte is programmed once after an erase.

    `ahead`: an erase takes long and blinds the board, so that one is always done in advance; it
    needs three sectors at least. Errors of the part are OSError.
    """

    sectors = 2
    room = 4096
    ahead = False

    def read(self, sector: int, offset: int, into: "bytearray | memoryview") -> None:
        """Fill `into` from there."""
        raise NotImplementedError

    def program(self, sector: int, offset: int, data: "bytes | bytearray | memoryview") -> None:
        """Write `data` there, onto erased bytes."""
        raise NotImplementedError

    def erase(self, sector: int) -> None:
        """Make every byte of the sector 0xFF."""
        raise NotImplementedError
