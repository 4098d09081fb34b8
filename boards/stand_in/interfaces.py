"""What the chip's stubs lack. For type checkers: the board imports it never."""

from typing import Protocol

from boards.pico_matrix.interfaces import DmaChannel


class WritingChannel(DmaChannel, Protocol):
    """rp2.DMA with what tells how far it is."""

    write: int  # the address that it writes next

    def active(self, on: int = ...) -> object:
        """Start or stop it; whether it runs."""
