// Included before anything of frozen_content.c. MicroPython 1.28 aligns frozen machine code to two bytes on an
// ARMv6-M, whose loads of constants need four: functions would read wrong ones. `inlane image` checks the result.
#include <stdint.h>
#include "py/mpconfig.h"
#include "py/objint.h"
#include "py/objstr.h"
#include "py/emitglue.h"
#include "py/nativeglue.h"
#define aligned(bytes) aligned(4)
