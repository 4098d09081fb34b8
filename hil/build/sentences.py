"""What a board says on its line, sentence by sentence, also while it restarts and its port is gone."""

import time

import serial

READ_S = 0.2
END = b"\r\n\0"  # of a sentence, see boards.pico_matrix.line


class Sentences:
    """Sentences of the board at `port`, a serial port or pyserial URL."""

    def __init__(self, port: str) -> None:
        self._port = port
        self._line: serial.SerialBase | None = None
        self._heard = b""

    def next(self) -> str:
        """The next sentence, "" when none came within READ_S or the port is gone just now."""
        try:
            if self._line is None:
                self._line = serial.serial_for_url(self._port, timeout=READ_S)
            self._heard += self._line.read(max(1, self._line.in_waiting))
        except OSError:
            self._line = None  # a reset takes the port away
            self._heard = b""
            time.sleep(READ_S)
        sentence, ended, rest = self._heard.partition(END)
        if not ended:
            return ""
        self._heard = rest
        return sentence.rpartition(b"\n")[2].rpartition(b"\0")[2].decode(errors="replace")
