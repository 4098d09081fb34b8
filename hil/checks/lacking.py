"""What MicroPython lacks of Python, in tables. A test tries every row on a real MicroPython."""


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# Modules that MicroPython has. Any other one has to be the firmware's or the game's.
MODULES = _words(
    "array asyncio binascii builtins cmath collections deflate errno gc hashlib heapq io json machine math"
    " micropython os platform random re rp2 select struct sys time uctypes"
)

# What to do without a module that authors reach for.
INSTEAD = {
    "__future__": "put annotations in quotes",
    "abc": "leave the base class out, or let its method raise NotImplementedError",
    "bisect": "search with a loop",
    "collections.abc": "import it below `if TYPE_CHECKING:`, and put annotations in quotes",
    "contextlib": "write a class with __enter__ and __exit__, or try and finally",
    "copy": "build the new object yourself; lists and dicts have copy()",
    "dataclasses": "write a class with an __init__",
    "decimal": "count in whole numbers",
    "enum": "use constants of the module, one a line",
    "fractions": "count in whole numbers",
    "functools": "write the function out",
    "itertools": "write the loop out",
    "logging": "use the ledger and the trace",
    "operator": "use a lambda",
    "queue": "use a list",
    "statistics": "count in whole numbers",
    "string": "write the letters out",
    "types": "use a class of your own",
    "typing": "import it below `if TYPE_CHECKING:`, and put annotations in quotes",
    "weakref": "keep a plain reference, or a number",
}

# Modules that both have, and with which two runs of one script would not be the same; what to use.
UNREPEATABLE = {
    "random": "draw with self.play.stream(), which the seed of a run repeats",
    "time": "use self.clock(…) or after(…); the game's time is given to it",
}

# Of modules that exist on both Pythons: what MicroPython's has.
NAMES = {
    "collections": _words("OrderedDict deque namedtuple"),
    "heapq": _words("heapify heappop heappush"),
    "math": _words(
        "acos acosh asin asinh atan atan2 atanh ceil copysign cos cosh degrees e erf erfc exp expm1 fabs"
        " factorial floor fmod frexp gamma inf isclose isfinite isinf isnan ldexp lgamma log log10 log2 modf"
        " nan pi pow radians sin sinh sqrt tan tanh tau trunc"
    ),
    "re": _words("compile match search sub"),
    "random": _words("choice getrandbits randint random randrange seed uniform"),
    "struct": _words("calcsize pack pack_into unpack unpack_from"),
    "json": _words("dump dumps load loads"),
}

# Names that Python has of itself and MicroPython has not.
BUILTINS = _words(
    "BaseExceptionGroup BlockingIOError BrokenPipeError BufferError BytesWarning ChildProcessError"
    " ConnectionAbortedError ConnectionError ConnectionRefusedError ConnectionResetError DeprecationWarning"
    " EncodingWarning EnvironmentError ExceptionGroup FileExistsError FileNotFoundError FloatingPointError"
    " FutureWarning IOError ImportWarning InterruptedError IsADirectoryError ModuleNotFoundError"
    " NotADirectoryError PendingDeprecationWarning PermissionError ProcessLookupError RecursionError"
    " ReferenceError ResourceWarning RuntimeWarning SyntaxWarning SystemError TabError TimeoutError"
    " UnboundLocalError UnicodeDecodeError UnicodeEncodeError UnicodeTranslateError UnicodeWarning"
    " UserWarning Warning aiter anext ascii breakpoint format vars"
)

# Attributes of Python's own types that MicroPython's have not, by what stands for them.
ATTRIBUTES = {
    "removeprefix": "slice the text when it starts so",
    "removesuffix": "slice the text when it ends so",
    "zfill": "use format: f'{n:03d}'",
    "ljust": "use format: f'{text:<8}'",
    "rjust": "use format: f'{text:>8}'",
    "title": "write the text as it is to be shown",
    "capitalize": "write the text as it is to be shown",
    "swapcase": "use upper or lower",
    "casefold": "use lower",
    "isalnum": "use isalpha and isdigit",
    "isdecimal": "use isdigit",
    "isnumeric": "use isdigit",
    "isidentifier": "compare with the texts you know",
    "istitle": "compare with the texts you know",
    "isascii": "compare ord of each letter with 128",
    "isprintable": "compare with the texts you know",
    "expandtabs": "write the blanks out",
    "translate": "use replace",
    "format_map": "use format",
    "bit_count": "count in a loop",
    "bit_length": "count in a loop",
    "numerator": "use the number itself",
    "is_integer": "count in whole numbers",
    "as_integer_ratio": "count in whole numbers",
    "_replace": "build a new tuple",
    "_asdict": "build the dict",
    "move_to_end": "take the key out and put it in again",
    "tolist": "use list()",
    "fromlist": "append in a loop",
    "mro": "name the class",
    "__mro__": "name the class",
    "__self__": "keep the object beside the method",
    "__func__": "name the function by its class",
    "__cause__": "keep the first error in an attribute of your own",
    "__context__": "keep the first error in an attribute of your own",
    "__traceback__": "let the error go on",
    "add_note": "say it when the error is raised",
    "with_traceback": "let the error go on",
    "__doc__": "keep the text in an attribute of your own",
    "__subclasses__": "keep a list of your own",
}

# Methods of a class that Python calls by itself and MicroPython never does.
UNCALLED = {
    "__init_subclass__": "do it in the subclass",
    "__getattribute__": "use __getattr__ or a property",
    "__format__": "format what the object holds",
    "__index__": "index by a number",
    "__class_getitem__": "leave the brackets out",
    "__del__": "close by a method of your own",
    "__missing__": "ask with get",
    "__instancecheck__": "ask by a method of your own",
    "__round__": "use a method of your own",
    "__trunc__": "use a method of your own",
    "__floor__": "use a method of your own",
    "__ceil__": "use a method of your own",
    "__bytes__": "use a method of your own",
    "__length_hint__": "leave it out",
    "__imul__": "write __mul__, which `*=` falls back to",
    "__itruediv__": "write __truediv__, which `/=` falls back to",
    "__ifloordiv__": "write __floordiv__, which `//=` falls back to",
    "__imod__": "write __mod__, which `%=` falls back to",
    "__ipow__": "write __pow__, which `**=` falls back to",
    "__imatmul__": "write __matmul__, which `@=` falls back to",
    "__iand__": "write __and__, which `&=` falls back to",
    "__ior__": "write __or__, which `|=` falls back to",
    "__ixor__": "write __xor__, which `^=` falls back to",
    "__ilshift__": "write __lshift__, which `<<=` falls back to",
    "__irshift__": "write __rshift__, which `>>=` falls back to",
}

# Arguments by name that Python takes and MicroPython does not: function or method, name, instead.
KEYWORDS = (
    ("zip", "strict", "leave it out"),
    ("sum", "start", "give it by place"),
    ("int", "base", "give it by place"),
    ("pow", "mod", "give it by place"),
    ("round", "ndigits", "give it by place"),
    ("str", "encoding", "give it by place"),
    ("bytes", "encoding", "give it by place"),
    ("print", "flush", "leave it out"),
    ("namedtuple", "defaults", "give every field"),
    ("namedtuple", "rename", "leave it out"),
    ("deque", "maxlen", "give both by place: deque((), 8)"),
    ("from_bytes", "byteorder", "give it by place"),
    ("from_bytes", "signed", "take the sign off by hand"),
    ("replace", "count", "give it by place"),
    ("split", "maxsplit", "give both by place: split(',', 1)"),
    ("split", "sep", "give it by place"),
    ("rsplit", "maxsplit", "give both by place"),
    ("encode", "encoding", "give it by place"),
    ("decode", "encoding", "give it by place"),
)
