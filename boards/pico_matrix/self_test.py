"""The self-test at start, the board's side."""

import time

import machine

from boards.pico_matrix import flash, isr
from firmware.devices import known_answers
from firmware.devices.limiter_state import drive_of
from firmware.devices.native import limiter as c
from firmware.devices.self_test import TestedBoard, find_faults
from firmware.devices.supply_monitor import low_drains

PATTERN = b"\xa5\x3c\x69"  # through the drive chain and out again, never latched
ZEROS = b"\0\0\0"
READ_BACKS = 2  # as the guard's feed wants them
FAULT = "board_fault"  # with the number of what the callback found
CHAIN = "chain_unread"
NO_SUM = "no_firmware_sum"
CODE = "machine_code"


class BoardSelfTest(TestedBoard):
    """The board with its callback running and nothing switched on."""

    def __init__(self, hardware: "Hardware") -> None:
        self._hardware = hardware

    def expected_sum(self) -> bytes:
        """CRC-32 in the image's record, b"" without one."""
        return flash.recorded_sum()

    def actual_sum(self) -> bytes:
        """CRC-32 of the code in flash."""
        return flash.found_sum()

    def stuck_coils(self) -> "list[int]":
        """By the drains, which say nothing without volts on the coil bus or without a scan."""
        hardware = self._hardware
        if hardware.fault():
            return []
        low = low_drains(hardware.senses, hardware.cells[isr.DRAINS], hardware.cells[isr.BUS_MV])
        coils = hardware.limiter.state
        return [i for i in range(coils[c.COILS]) if coils[c.HEAD + i * c.COIL + c.DRIVE] & low]

    def coil_name(self, coil: int) -> str:
        """Its drive: the board holds no names of coils."""
        return "drive " + str(drive_of(self._hardware.limiter.state, coil))

    def clock_ms(self) -> int:
        """The callback's clock (ms, period 2^30)."""
        return self._hardware.now()

    def wait_us(self, ms: int) -> int:
        """Sleep `ms`; the microseconds that passed by the chip's timer."""
        before = time.ticks_us()
        time.sleep_ms(ms)
        us: int = time.ticks_diff(time.ticks_us(), before)
        return us

    def others(self) -> "list[tuple[str, int, str]]":
        """Faults that only this board can have."""
        wrong = []
        hardware = self._hardware
        if hardware.fault():
            wrong.append((FAULT, hardware.cells[isr.FAULT], hardware.fault()))
        if hardware.cells[isr.VERIFIED] < READ_BACKS or self._through_chain() != PATTERN:
            wrong.append((CHAIN, 0, "the drive chain does not give back what is shifted into it"))
        for name in known_answers.wrong():
            wrong.append((CODE, 0, f"the machine code of '{name}' gives a wrong answer"))
        if not self.expected_sum():
            wrong.append((NO_SUM, 0, "the firmware cannot be tested: its image has no record"))
        return wrong

    def _through_chain(self) -> bytearray:
        """What comes out of the chain after PATTERN; it is left with zeros, and the outputs never see it."""
        back = bytearray(len(PATTERN))
        state = machine.disable_irq()
        self._hardware.spi.write(PATTERN)
        self._hardware.spi.write_readinto(ZEROS, back)
        machine.enable_irq(state)
        return back


def refusals(hardware: "Hardware") -> "list[tuple[str, int, str]]":
    """Why no coil may ever be driven: name for the fault log, number, sentence; [] when the board is fit."""
    subject = BoardSelfTest(hardware)
    return find_faults(subject) + subject.others()


TYPE_CHECKING = False
if TYPE_CHECKING:
    from boards.pico_matrix.board import Hardware
