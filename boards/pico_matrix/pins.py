"""The pin table of the reference driver board: every GPIO of a Pico, each named once.

A GPIO that is not brought out to the Pico's edge (23, 24, 25, 29) is not in it.
"""

# Displays and, when fitted, a memory chip of the store share the I2C pair.
CUE_TX = 0
CUE_RX = 1
SWITCH_CLOCK = 2
SWITCH_LOAD = 3
COLUMN_CLOCK = 4
COLUMN_DATA = 5
LAMP_DATA = 6
LAMP_CLOCK = 7
LAMP_LATCH = 8
LAMP_BLANK = 9
# Beside the guard's feed lie inputs that rest: a bridge to a pin that toggles by itself would feed it.
INTERLOCK = 10
GUARD_FEED = 11
GUARD_STATE = 12
SUPPLY_FEED = 13
HOLD_A = 14
HOLD_B = 15
DRIVE_BACK = 16
DRIVE_LATCH = 17
DRIVE_CLOCK = 18
DRIVE_DATA = 19
DISPLAY_DATA = 20
DISPLAY_CLOCK = 21
SWITCH_DATA = 22
COIL_VOLTS = 26
LOGIC_VOLTS = 27
COIL_AMPERES = 28

PINS = (
    # name, GPIO, direction, who drives or reads it, level that is safe, what it is
    ("cue_tx", CUE_TX, "out", "uart0", 1, "sound box: one byte a cue"),
    ("cue_rx", CUE_RX, "in", "uart0", None, "sound box: its answer"),
    ("switch_clock", SWITCH_CLOCK, "out", "pio0", 0, "74HC165 chain: clock"),
    ("switch_load", SWITCH_LOAD, "out", "pio0", 1, "74HC165 chain: low takes the inputs over"),
    ("column_clock", COLUMN_CLOCK, "out", "pio0", 0, "74HCT595 of the switch columns: both of its clocks"),
    ("column_data", COLUMN_DATA, "out", "pio0", 0, "74HCT595 of the switch columns: the walking one"),
    ("lamp_data", LAMP_DATA, "out", "pio1", 0, "lamp 74HCT595 pair: data"),
    ("lamp_clock", LAMP_CLOCK, "out", "pio1", 0, "lamp 74HCT595 pair: shift clock"),
    ("lamp_latch", LAMP_LATCH, "out", "pio1", 0, "lamp 74HCT595 pair: storage clock"),
    ("lamp_blank", LAMP_BLANK, "out", "pio1", 1, "lamp drivers: high is dark (pulled up)"),
    ("interlock", INTERLOCK, "in", "sio", None, "door interlock: low while the door is shut"),
    ("guard_feed", GUARD_FEED, "out", "sio", 0, "one-shot of the coil enable: every change feeds it"),
    ("guard_state", GUARD_STATE, "in", "sio", None, "the enable line itself: low is enabled"),
    ("supply_feed", SUPPLY_FEED, "out", "sio", 0, "slower one-shot of the coil supply's relay"),
    ("hold_a", HOLD_A, "out", "pwm7", 0, "drive 25 through the guarded buffer, PWM-held"),
    ("hold_b", HOLD_B, "out", "pwm7", 0, "drive 26 through the guarded buffer, PWM-held"),
    ("drive_back", DRIVE_BACK, "in", "spi0", None, "drive chain: what comes out of its far end"),
    ("drive_latch", DRIVE_LATCH, "out", "sio", 0, "drive chain: storage clock"),
    ("drive_clock", DRIVE_CLOCK, "out", "spi0", 0, "drive chain (three 74HCT595): shift clock"),
    ("drive_data", DRIVE_DATA, "out", "spi0", 0, "drive chain: data"),
    ("display_data", DISPLAY_DATA, "both", "i2c0", 1, "displays and memory chip"),
    ("display_clock", DISPLAY_CLOCK, "out", "i2c0", 1, "displays and memory chip"),
    ("switch_data", SWITCH_DATA, "in", "pio0", None, "74HC165 chain: rows, direct inputs, drains"),
    ("coil_volts", COIL_VOLTS, "in", "adc0", None, "coil bus (TP6) through 1:31"),
    ("logic_volts", LOGIC_VOLTS, "in", "adc1", None, "5 V rail through 1:2"),
    ("coil_amperes", COIL_AMPERES, "in", "adc2", None, "coil supply's current, 50 mV an ampere"),
)

GUARD = "guard_feed"
FEEDS = ("guard_feed", "supply_feed")
NEEDED = ("guard_feed", "guard_state", "drive_back", "drive_latch", "interlock")

DRIVES = 24
HELD_DRIVES = (25, 26)
COLUMNS = 8
ROWS = 8
DIRECT = 16
DRAINS = 16
FRAME = ROWS + DIRECT + DRAINS
