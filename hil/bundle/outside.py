"""Attribute names that belong to MicroPython, not to us, and so keep their names in a bundle."""

import builtins
import hashlib
import importlib
from array import array

from firmware.base.errors import GameError

TYPES = (
    int,
    str,
    bytes,
    bytearray,
    list,
    tuple,
    dict,
    set,
    memoryview,
    array,
    property,
    BaseException,
    OSError,
)
WORDS = {
    # Module: names of its own and of the objects it makes, where CPython has no such module.
    "micropython": "const viper native asm_thumb kbd_intr mem_info qstr_info alloc_emergency_exception_buf"
    " schedule opt_level heap_lock heap_unlock",
    "machine": "Pin ADC PWM SPI I2C UART Timer WDT RTC mem32 mem16 mem8 unique_id reset reset_cause freq idle"
    " disable_irq enable_irq bootloader IN OUT PULL_UP PULL_DOWN IRQ_RISING IRQ_FALLING value init deinit on"
    " off toggle irq high low mode pull read_u16 duty_u16 duty_ns write read readinto write_readinto any"
    " writeto readfrom readfrom_into readfrom_mem writeto_mem scan feed callback PERIODIC ONE_SHOT MSB LSB"
    " period datetime readline txdone flush sendbreak",
    "rp2": "asm_pio PIO StateMachine DMA Flash active restart exec get put rx_fifo tx_fifo irq flags"
    " SHIFT_LEFT SHIFT_RIGHT OUT_LOW OUT_HIGH IN_LOW IN_HIGH JOIN_NONE JOIN_TX JOIN_RX add_program"
    " remove_program state_machine config pack_ctrl unpack_ctrl close count read write ctrl registers"
    " readblocks writeblocks ioctl channel",
    "uctypes": "addressof bytearray_at bytes_at sizeof struct",
    "time": "ticks_ms ticks_us ticks_add ticks_diff sleep sleep_ms sleep_us",
    "gc": "collect mem_alloc mem_free threshold enable disable",
    "os": "ilistdir mount umount VfsLfs2 sync stat rename remove mkdir",
    "select": "poll register unregister ipoll POLLIN POLLOUT",
    "sys": "print_exception implementation stdin stdout buffer path modules exit",
    "io": "StringIO BytesIO getvalue readinto",
    "_thread": "start_new_thread allocate_lock acquire release",
}


def names(modules: "set[str]") -> "set[str]":
    """Names that objects of MicroPython's types and of these modules may have.

    Raises GameError for a module about which nothing is known.
    """
    found = set(dir(builtins))
    for each in (*TYPES, type(hashlib.sha256())):
        found |= set(dir(each))
    for name in modules:
        found |= set(WORDS.get(name, "").split())
        try:
            real = importlib.import_module(name)
        except ImportError:
            if name not in WORDS:
                raise GameError(
                    f"module '{name}' is MicroPython's own and the bundler does not know its names;"
                    " add them to hil/bundle/outside.py"
                )
            continue
        found |= set(dir(real))
    return found
