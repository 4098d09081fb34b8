// The Pico of the driver board. Flash, from its start: code 1 MB, two game slots of 256 KB, then files: 512 KB on a Pico,
// 2.5 MB on a Pico 2.
#define MICROPY_HW_BOARD_NAME           "Inlane driver board"
#define MICROPY_HW_ROMFS_BYTES          (512 * 1024)
#define MICROPY_HW_FLASH_STORAGE_BYTES  (PICO_FLASH_SIZE_BYTES - 1536 * 1024)

// One core: the second would be blind during flash writes, too, and locks would cost time at each allocation.
#define MICROPY_PY_THREAD               (0)

// Frames of Python functions have a stack of their own. Without it MicroPython takes every frame of more than eleven
// words from the heap and gives it back: half of the time that rules take, and a collection when the heap is full.
// A call beyond it raises RuntimeError.
#define MICROPY_ENABLE_PYSTACK          (1)
#define INLANE_PYSTACK_BYTES            (4 * 1024)
#define MICROPY_BOARD_EARLY_INIT() do { \
        static uint64_t inlane_pystack[INLANE_PYSTACK_BYTES / sizeof(uint64_t)]; \
        mp_pystack_init(inlane_pystack, inlane_pystack + INLANE_PYSTACK_BYTES / sizeof(uint64_t)); \
} while (0)
