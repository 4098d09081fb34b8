"""The RP2040 of a Pico: the registers and numbers in which it differs from an RP2350.

Source: pico-sdk 2.2.0, src/rp2040/hardware_regs/include/hardware/regs, the header named in each line (read).
"""

ADC = 0x4004C000  # addressmap.h
SPI0 = 0x4003C000  # addressmap.h
PWM = 0x40050000  # addressmap.h
GPIO_SET = 0xD0000014  # sio.h, GPIO_OUT_SET
GPIO_CLEAR = 0xD0000018  # sio.h, GPIO_OUT_CLR
GPIO_FLIP = 0xD000001C  # sio.h, GPIO_OUT_XOR
WATCHDOG = 0x40058000  # addressmap.h
WATCHDOG_LOAD = 0xFFFFFF  # 8.4 s: the counter counts each microsecond twice (RP2040-E1; watchdog.c)
TIMER_LOW = 0x40054028  # addressmap.h, timer.h: TIMERAWL
RESET_CHOICE = 0x40010008  # psm.h, WDSEL: what the watchdog resets
RESET_ALL = 0x1FFFC  # psm.h: all but the two oscillators

CRASH_RECORD = 0x2003DC00  # 1 KB that the linker script of the image leaves out (hil/build/linking.py)
