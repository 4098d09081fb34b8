"""What must work when the rules do not: the coil limiter, the contact scan and the senses.

Plain functions over arrays of small integers, each file in the part of Python that is also viper: compiled
with `-X emit=viper` for a board's chip (no decorators), run as they are elsewhere. What that asks for:

- parameters are `ptr32` or `int`, results `int`; no floats, no builtins but `int`, no chained comparison;
- every function a leaf: in a timer's interrupt a call from here to another costs 200 bytes of stack;
- a constant is `_NAME = const(...)`, put in place by the compiler. Viper cannot bind an integer to a name of
  a module, so what other modules need is bound by one tuple at the end of the file;
- no value leaves -2^30 ... 2^30-1. A tick of period 2^30 is moved by `(tick + _BACK + ms) & _MASK`, and the
  difference of two is `((end - start) & _MASK ^ _HALF) - _HALF`, right for integers of any width.
"""
