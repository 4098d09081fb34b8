"""The PIO programs of the stand-in: their source, and the words it assembles to; a test compares."""

COLUMNS_HZ = 4_000_000
COLUMNS_CYCLES = 3  # from column wires to the rows' table: 0.75 µs; a driver board gives rows 17.5 µs

# Y holds the address of the table of rows without its lowest byte; eight column wires make it whole.
COLUMNS = """
.program columns
.wrap_target
    in y, 24
    in pins, 8
    push block
.wrap
"""
COLUMNS_WRAP = 2
COLUMNS_WORDS = (0x4058, 0x4008, 0x8020)

ROWS_HZ = 125_000_000

ROWS = """
.program rows
.wrap_target
    pull block
    out pins, 8
.wrap
"""
ROWS_WRAP = 1
ROWS_WORDS = (0x80A0, 0x6008)

SAMPLE_HZ = 4_000_000
SAMPLE_CYCLES = 1000  # for one sample: 250 µs; the chain is shifted at 2 MHz

# side 0: load, side 2: shift, side 3: shift and clock high.
# Drives 24 … 1, lamp columns 8 … 1, lamp rows 8 … 1.
SAMPLE = """
.program sample
.side_set 2
.wrap_target
    set x, 23           side 0 [3]
drives:
    in pins, 1          side 2
    jmp x--, drives     side 3
    push noblock        side 2 [7]
    set x, 15           side 2 [7]
lamps:
    in pins, 1          side 2
    jmp x--, lamps      side 3
    push noblock        side 2 [7]
    set y, 25           side 2 [7]
outer:
    set x, 31           side 2
inner:
    jmp x--, inner      side 2
    jmp y--, outer      side 2
.wrap
"""
SAMPLE_WRAP = 11
SAMPLE_WORDS = (
    0xE337,
    0x5001,
    0x1841,
    0x9700,
    0xF72F,
    0x5001,
    0x1845,
    0x9700,
    0xF759,
    0xF03F,
    0x104A,
    0x1089,
)
