"""The pin table of the stand-in: every GPIO of its Pico that is used, and what lies where on its chains."""

COLUMNS_AT = 2  # GPIO 2 to 9
ROWS_AT = 10  # GPIO 10 to 17
DIRECT_CLOCK = 18
DIRECT_DATA = 19
DIRECT_LATCH = 20
SAMPLE_CLOCK = 21
SAMPLE_LOAD = 22
SAMPLE_DATA = 26
DIRECT_DARK = 27

PINS = (
    # name, first GPIO, how many, direction, level that is safe, what it is
    (
        "column",
        COLUMNS_AT,
        8,
        "in",
        None,
        "switch columns 1 to 8: low while the driver board reads one",
    ),
    ("row", ROWS_AT, 8, "out", 0, "gates of eight MOSFETs: high pulls switch rows 1 to 8 down"),
    ("direct_clock", DIRECT_CLOCK, 1, "out", 0, "two 74HC595 of the direct inputs: shift clock"),
    ("direct_data", DIRECT_DATA, 1, "out", 0, "two 74HC595 of the direct inputs: data"),
    ("direct_latch", DIRECT_LATCH, 1, "out", 0, "two 74HC595 of the direct inputs: storage clock"),
    (
        "direct_dark",
        DIRECT_DARK,
        1,
        "out",
        1,
        "two 74HC595 of the direct inputs: high lets outputs float",
    ),
    ("sample_clock", SAMPLE_CLOCK, 1, "out", 0, "five 74HC165 of drives and lamps: clock"),
    ("sample_load", SAMPLE_LOAD, 1, "out", 1, "five 74HC165: low takes the inputs over"),
    ("sample_data", SAMPLE_DATA, 1, "in", None, "five 74HC165: what comes out"),
)

COLUMNS = 8
ROWS = 8
DIRECT = 16
DRIVES = 24
LAMP_COLUMNS = 8
LAMP_ROWS = 8
SAMPLE = DRIVES + LAMP_COLUMNS + LAMP_ROWS  # bits, in this order, each from the highest number down
