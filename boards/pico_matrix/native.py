"""Which modules the image holds as machine code: every function of them, without a decorator in the source.

They run as plain Python everywhere else. Functions that a source decorates (`isr.py`, `rendering.py`,
`chain.py`) are machine code, too. All of it lies in flash, each function at an address divisible by four.
"""

VIPER = (
    "firmware.devices.native.limiter",
    "firmware.devices.native.scanner",
    "firmware.devices.native.senses",
)
NATIVE: "tuple[str, ...]" = ()
