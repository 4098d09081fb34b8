"""The RP2350 of a Pico 2: the registers and numbers in which it differs from an RP2040. Untried on a chip.

Source: pico-sdk 2.2.0, src/rp2350/hardware_regs/include/hardware/regs, the header named in each line (read).
"""

ADC = 0x400A0000  # addressmap.h
SPI0 = 0x40080000  # addressmap.h
PWM = 0x400A8000  # addressmap.h
GPIO_SET = 0xD0000018  # sio.h, GPIO_OUT_SET
GPIO_CLEAR = 0xD0000020  # sio.h, GPIO_OUT_CLR
GPIO_FLIP = 0xD0000028  # sio.h, GPIO_OUT_XOR
WATCHDOG = 0x400D8000  # addressmap.h
WATCHDOG_LOAD = 0x7FFFFF  # 8.4 s: a microsecond is one count (watchdog.c)
TIMER_LOW = 0x400B0028  # addressmap.h (TIMER0), timer.h: TIMERAWL
RESET_CHOICE = 0x40018008  # psm.h, WDSEL: what the watchdog resets
RESET_ALL = 0x1FFFFF3  # psm.h: all but the two oscillators

CRASH_RECORD = 0x2007DC00  # 1 KB that the linker script of the image leaves out (hil/build/linking.py)
