"""MicroPython's prompt on a board, through mpremote's own transport: broken into, everything off."""

from types import TracebackType

from mpremote.transport import TransportError
from mpremote.transport_serial import SerialTransport

from firmware.base.errors import LinkError

PATIENCE_S = 60
RESTART_S = 5


class Prompt:
    """Breaks into the program on `port`, and starts it anew at the end. Raises LinkError."""

    def __init__(self, port: str) -> None:
        self._port = port
        try:
            self._line = SerialTransport(port)
            self._line.enter_raw_repl(soft_reset=False, timeout_overall=PATIENCE_S)
        except (TransportError, OSError) as error:
            raise LinkError(f"{port}: {error}") from None

    def __enter__(self) -> "Prompt":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def run(self, source: str) -> str:
        """What the board prints. Raises LinkError with the last line of its complaint."""
        try:
            printed: bytes
            printed, complaint = self._line.exec_raw(source, timeout=PATIENCE_S)
        except (TransportError, OSError) as error:
            raise LinkError(f"{self._port}: {error}") from None
        if complaint:
            raise LinkError(f"{self._port}: {complaint.decode(errors='replace').strip().splitlines()[-1]}")
        return printed.decode(errors="replace")

    def close(self) -> None:
        """Leave the prompt: the board restarts its program."""
        try:
            self._line.exit_raw_repl()
            self._line.serial.write(b"\x04")
            self._line.read_until(1, b"soft reboot", timeout=RESTART_S)  # a line closed at once could lose it
            self._line.close()
        except OSError:
            pass  # a board that is gone needs no goodbye
