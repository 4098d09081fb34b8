"""The firmware's frame receiver as a process: which frames it accepts from a stretch of line.

Reads u16 length, u8 number of the first frame, the bytes; answers u8 frames accepted, u8 whether
it complained, then each frame as u16 length, sequence number, type, payload. Ends with its input.
"""

import sys

from firmware.link.frames import Receiver

MOST = 255


def main() -> None:
    """Serve until the input ends."""
    source = sys.stdin.buffer
    answer = sys.stdout.buffer
    receiver = Receiver()
    head = source.read(3)
    while len(head) == 3:
        accepted, complained = receive(receiver, source.read(head[0] | head[1] << 8), head[2])
        answer.write(bytes([len(accepted), complained]))
        for frame in accepted:
            answer.write(len(frame).to_bytes(2, "little") + frame)
        head = source.read(3)


def receive(receiver: Receiver, line: bytes, first: int) -> "tuple[list[bytes], int]":
    """Frames accepted before the first complaint, and 1 when there was one."""
    receiver.expect(first)
    accepted: list[bytes] = []
    for byte in line:
        got = receiver.take(byte)
        if got == Receiver.FRAME and len(accepted) < MOST:
            accepted.append(bytes(receiver.body[: receiver.end]))
        elif got != Receiver.NOTHING:
            return accepted, 1
    receiver.take(0)  # what a lost ending left behind belongs to no later stretch
    return accepted, 0


if __name__ == "__main__":
    main()
