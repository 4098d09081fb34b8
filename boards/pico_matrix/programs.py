"""The PIO programs: their source, and the words it assembles to.

The words are what the chip gets; a test assembles the source and compares. The scan walks a one
through the column register and reads a frame of 40 bits for each column: rows 8 … 1, direct inputs
16 … 1, drain read-backs 16 … 1. The lamp strobe shows one column a millisecond and stays dark
while it shifts, and for as long as no data comes.
"""

SCAN_HZ = 4_000_000  # the 74HC165 gets half: 2 MHz, where its data sheet has 4 at 2 V and 125 °C (mem)
SCAN_CYCLES = 160  # for one column; eight of them take 0.32 ms
SCAN_SETTLE = 70  # of them from the column's clock to the rows' load: 17.5 µs
SCAN_SIZE = 16  # words of a whole scan: two for each column

# A word is 24 bits: 3 bits of countdown (7 is column 1), 1 bit for the second half, 20 bits of the frame.
SCAN = """
.program scan
.side_set 2
; side 0: load, side 2: shift, side 3: shift and clock high; set: bit 0 column clock, bit 1 column data
.wrap_target
    set x, 7            side 2 [1]
next:
    set pins, 0         side 2 [1]
    set pins, 1         side 2 [1]
body:
    set y, 15           side 2 [2]
settle:
    jmp y--, settle     side 2 [3]
    in x, 3             side 2
    in null, 1          side 0
    set y, 19           side 2
first:
    in pins, 1          side 2
    jmp y--, first      side 3
    in x, 3             side 2
    in y, 1             side 2
    set y, 19           side 2
second:
    in pins, 1          side 2
    jmp y--, second     side 3
    jmp x--, more       side 2
.wrap
more:
    jmp !x, last        side 2
    jmp next            side 2
last:
    set pins, 2         side 2 [2]
    set pins, 3         side 2
    jmp body            side 2
"""

SCAN_WRAP = 15
SCAN_WORDS = (
    0xF127,
    0xF100,
    0xF101,
    0xF24F,
    0x1384,
    0x5023,
    0x4061,
    0xF053,
    0x5001,
    0x1888,
    0x5023,
    0x5041,
    0xF053,
    0x5001,
    0x188D,
    0x1050,
    0x1032,
    0x1001,
    0xF202,
    0xF003,
    0x1003,
)

LAMP_HZ = 1_000_000
LAMP_CYCLES = 1000  # for one column

# A word holds, from its top bit down: column select 8 … 1, rows 8 … 1; the lower half is not used.
LAMPS = """
.program lamps
.side_set 3
; bit 0 clock, bit 1 latch, bit 2 blank
.wrap_target
    pull block          side 4
    set x, 15           side 4
bits:
    out pins, 1         side 4
    jmp x--, bits       side 5
    nop                 side 6
    set y, 6            side 4
outer:
    set x, 31           side 0 [3]
inner:
    jmp x--, inner      side 0 [3]
    jmp y--, outer      side 0 [3]
    nop                 side 0 [3]
    nop                 side 0 [3]
    nop                 side 0 [3]
.wrap
"""
LAMPS_WRAP = 11
LAMPS_WORDS = (
    0x90A0,
    0xF02F,
    0x7001,
    0x1442,
    0xB842,
    0xF046,
    0xE33F,
    0x0347,
    0x0386,
    0xA342,
    0xA342,
    0xA342,
)

CHAIN_HZ = 8_000_000
CHAIN_CYCLES = 10  # for one bit: 1.25 µs

# Instead of the strobe, on the same pin: a chain of LEDs with a driver inside. A word holds, from its top
# bit down, green, red, blue; its lowest byte is not used. High for 375 ns is a nought, for 750 ns a one;
# low while no data comes, which the LEDs take for the end (data sheets: 400 and 800 ns, ±150 ns (mem)).
CHAIN = """
.program chain
.side_set 1
.wrap_target
bit:
    out x, 1            side 0 [3]
    jmp !x nought       side 1 [2]
    jmp bit             side 1 [2]
nought:
    nop                 side 0 [2]
.wrap
"""
CHAIN_WRAP = 3
CHAIN_WORDS = (0x6321, 0x1223, 0x1200, 0xA242)
