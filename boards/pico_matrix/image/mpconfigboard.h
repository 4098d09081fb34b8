// The Pico of the driver board. Flash, from its start: code 1 MB, two game slots of 256 KB, files 512 KB.
#define MICROPY_HW_BOARD_NAME           "Inlane driver board"
#define MICROPY_HW_ROMFS_BYTES          (512 * 1024)
#define MICROPY_HW_FLASH_STORAGE_BYTES  (512 * 1024)

// One core: the second would be blind during flash writes, too, and locks would cost time at each allocation.
#define MICROPY_PY_THREAD               (0)
