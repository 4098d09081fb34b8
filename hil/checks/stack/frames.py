"""How many bytes of the C stack each call takes, on a chip with 32-bit pointers.

The figures are frames of MicroPython 1.28's functions, read from the disassembly of the image for the RP2040
(gcc 14, -Os): what lies on the stack between the bytecode loop of the caller and that of the callee.
"""

import ast
from dataclasses import dataclass, field

from hil.checks.stack.compiled import Code, compiled
from hil.checks.stack.program import Function, Module, Program, own_nodes

LOOP = 120  # mp_execute_bytecode
ENTRY = 48  # fun_bc_call
HEAD = 20  # bytes of a function's state before its words
WORD = 4
TRY = 12  # bytes a nested `try` or `with` adds to the state
ON_STACK = 44  # the state lies on the stack up to so many bytes, beyond that on the heap
ALIGN = 8

BY_NAME = 16 + 32  # mp_call_method_n_kw, mp_call_function_n_kw
BETWEEN = {  # by the kind of call: the C functions between the two bytecode loops
    "call": BY_NAME,
    "starred": 88 + 32,  # mp_call_method_n_kw_var
    "bound": BY_NAME + 16 + 40 + 32 + 24,  # bound_meth_call, mp_call_method_self_n_kw, the arguments again
    "making": BY_NAME + 8 + 72 + 48,  # type_call, mp_obj_instance_make_new
    "object": BY_NAME + 72 + 40 + 24 + 32,  # mp_obj_instance_call, mp_call_method_self_n_kw
    "property": 16 + 16 + 24 + 80 + 32,  # mp_load_attr … mp_obj_instance_attr
    "operator": 64 + 48 + 64 + 64 + 48,  # mp_binary_op, mp_obj_equal_not_equal, and again for an object
    "generator": 48 + 40 + 72 + 8 + 16 + 24,  # a function that steps it, mp_iternext, mp_obj_gen_resume
    "builtin": BY_NAME + 40 + 16 + 32 + 8 * 40 + 16 + 32,  # list.sort of up to 256, its key
    "body": BY_NAME + 40 + 48 + 8 + 32,  # __build_class__
    "import": 32 + 224 + 40 + 8 + 32,  # mp_import_name, __import__, do_load
}
CLOSURE = 64 + 32  # closure_call
NATIVE = 32 + 100  # fun_native_call, and what machine code has besides its words

START = 56 + 24 + 88 + 32  # main, pyexec, what reads /main.py or the frozen one
WITHIN = 640  # the deepest of Python's own functions that rules call: an error made, a sum, a USB packet
WITHIN_FILES = 1400  # a file system at work, a traceback printed
FILES = frozenset(("open", "os", "print_exception"))  # names by which a function gets there


@dataclass
class Frames:
    """The stack that a program's calls take. `native`: names of modules that are machine code throughout."""

    program: Program
    native: frozenset[str] = frozenset()
    _codes: dict[Module, Code] = field(default_factory=dict)
    _known: dict[Function, tuple[int, bool]] = field(default_factory=dict)

    def of(self, function: Function, kind: str) -> int:
        """Bytes that a call of `function` takes below its caller; `kind` is a key of BETWEEN."""
        state, native = self.state(function)
        between = BETWEEN[kind]
        if kind == "generator":
            return between + LOOP
        more = CLOSURE if function.free else 0
        return between + more + (NATIVE if native else ENTRY + LOOP) + state

    @staticmethod
    def within(function: Function) -> int:
        """What Python's own functions add below `function`."""
        names = {
            each.id if isinstance(each, ast.Name) else each.attr
            for each in own_nodes(function.node)
            if isinstance(each, ast.Name | ast.Attribute)
        }
        return WITHIN_FILES if names & FILES else WITHIN

    def state(self, function: Function) -> tuple[int, bool]:
        """Bytes of the function's own state on the stack, and whether it is machine code."""
        if function not in self._known:
            codes = self._found(function)
            native = function.module.name in self.native or any(
                "micropython." in d for d in function.decorators
            )
            machine_state = max([each.state for each in codes], default=0) * WORD
            sizes = [each.state * WORD + each.tries * TRY for each in codes]
            on_stack = [size for size in sizes if size <= ON_STACK] or [0]
            rounded = (HEAD + max(on_stack) + ALIGN - 1) // ALIGN * ALIGN
            self._known[function] = (machine_state, True) if native else (rounded, False)
        return self._known[function]

    def _found(self, function: Function) -> list[Code]:
        """The compiled code of a function; of every one with that name where there are several."""
        if function.outer is None:
            return [self._module(function.module)]
        around = [each for code in self._found(function.outer) for each in code.inner]
        return [each for each in around if each.name == function.name] or [
            each for each in around if not each.name
        ]

    def _module(self, module: Module) -> Code:
        if module not in self._codes:
            self._codes[module] = compiled(module.path)
        return self._codes[module]
