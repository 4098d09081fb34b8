# An RP2040 Pico on the driver board. MicroPython's build includes this file (BOARD_DIR points here).
set(PICO_BOARD "pico")
set(PICO_PLATFORM "rp2040")
set(PICO_NO_PICOTOOL 1) # `inlane image` writes the UF2 itself
set_source_files_properties("${CMAKE_BINARY_DIR}/frozen_content.c" PROPERTIES
    COMPILE_OPTIONS "-include;${MICROPY_BOARD_DIR}/frozen_alignment.h")
