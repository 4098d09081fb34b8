"""What Python itself brings: which of its functions give what they were given, which call back, and how."""

# Their result is a container of what they were given.
GIVES_ELEMENTS = frozenset(("list", "tuple", "set", "frozenset", "sorted", "reversed", "iter", "filter"))
PAIRS = frozenset(("zip", "enumerate"))
TAKES_ELEMENT = frozenset(("next", "min", "max", "sum"))
CALLS_BACK = {"map": 0, "filter": 0}
"""The place of the function that is called back; those with `key=` call that."""
MAKES = frozenset(("append", "add", "insert", "extend", "update", "setdefault", "appendleft", "push"))
"""Methods that put what they are given into a container."""
TAKES = frozenset(("pop", "popleft", "get", "setdefault"))
"""Methods that give one of what a container holds."""
COPIES = frozenset(("values", "keys", "copy", "union", "difference", "intersection", "symmetric_difference"))
"""Methods that give a container of the same."""

OPERATORS = {
    "Add": "add",
    "Sub": "sub",
    "Mult": "mul",
    "MatMult": "matmul",
    "Div": "truediv",
    "FloorDiv": "floordiv",
    "Mod": "mod",
    "Pow": "pow",
    "LShift": "lshift",
    "RShift": "rshift",
    "BitOr": "or",
    "BitXor": "xor",
    "BitAnd": "and",
}
JOINS = frozenset(("Add", "Mult", "BitOr", "BitAnd", "BitXor", "Sub"))
"""Operators that make a container of two."""
COMPARES = ("__eq__", "__ne__", "__lt__", "__le__", "__gt__", "__ge__")
TRUTH = ("__bool__", "__len__")
WORDS = ("__str__", "__repr__")
STEPS = ("__iter__", "__next__", "__getitem__")
PAIRED = ("__hash__", "__eq__")
NUMBERS = ("__int__", "__float__", "__abs__", "__round__")
ASKED_BY_PYTHON = (
    *COMPARES,
    *TRUTH,
    *WORDS,
    *STEPS,
    *NUMBERS,
    "__hash__",
    "__contains__",
    "__add__",
    "__radd__",
)
"""Methods that one of Python's own functions may call of an object that it is given."""

ASKS: "dict[str, tuple[str, ...]]" = {
    **dict.fromkeys(("isinstance", "issubclass", "type", "id", "callable", "super", "__new__", "const"), ()),
    **dict.fromkeys(("getattr", "hasattr", "setattr", "delattr", "range", "chr", "ord", "staticmethod"), ()),
    **dict.fromkeys(("append", "appendleft", "insert", "clear", "__import__", "object", "property"), ()),
    **dict.fromkeys(("str", "repr", "print", "join", "format", "encode", "write"), WORDS),
    **dict.fromkeys(("int", "float", "abs", "round", "divmod", "pow", "hex", "bin"), NUMBERS),
    **dict.fromkeys(
        ("list", "tuple", "enumerate", "zip", "map", "iter", "next", "reversed", "extend"), STEPS
    ),
    **dict.fromkeys(("any", "all", "filter", "bool"), (*STEPS, *TRUTH)),
    **dict.fromkeys(
        ("set", "frozenset", "dict", "add", "update", "get", "pop", "setdefault"), (*STEPS, *PAIRED)
    ),
    **dict.fromkeys(("index", "count", "remove", "discard"), PAIRED),
    **dict.fromkeys(("sorted", "min", "max", "sort"), (*STEPS, *COMPARES)),
    "len": ("__len__",),
    "hash": ("__hash__",),
    "sum": (*STEPS, "__add__", "__radd__"),
}
"""Which of them, for those of its functions that call no others."""

OF_PYTHONS_TYPES = frozenset(
    name
    for kind in (str, bytes, bytearray, list, tuple, dict, set, int, float, range, Exception)
    for name in dir(kind)
) | {"popleft", "appendleft", "send", "throw", "close", "tobytes"}
"""Method names of Python's own types: a call of one of something plain stays there."""
