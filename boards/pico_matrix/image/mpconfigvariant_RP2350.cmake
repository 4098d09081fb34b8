# A Pico 2 in the Pico's place: `inlane image GAME --chip rp2350`. Untried: see the board's README.
set(PICO_BOARD "pico2")
set(PICO_PLATFORM "rp2350")
