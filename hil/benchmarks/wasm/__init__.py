"""A 32-bit MicroPython on this machine: the WebAssembly build, run by node."""
