"""Runs every tests/both/test_*.py under the Python it is started with; from the checkout's root.

    micropython -X heapsize=8m tests/both/run.py [WORD]

Only files whose name holds WORD, when it is given.
"""

import gc
import os
import sys

HERE = __file__.rpartition("/")[0] or "."
sys.path[0] = HERE
sys.path.insert(1, HERE + "/../..")


def modules(word):
    names = [name[:-3] for name in os.listdir(HERE) if name.startswith("test_") and name.endswith(".py")]
    return sorted([name for name in names if word in name])


def report(error):
    if hasattr(sys, "print_exception"):
        sys.print_exception(error)
    else:
        sys.excepthook(type(error), error, error.__traceback__)


def run(word=""):
    passed = 0
    failed = 0
    for name in modules(word):
        try:
            module = __import__(name)
        except Exception as error:
            print("FAILED to import " + name)
            report(error)
            failed += 1
            continue
        for test in sorted([each for each in dir(module) if each.startswith("test_")]):
            try:
                getattr(module, test)()
                passed += 1
            except Exception as error:
                print("FAILED " + name + "." + test)
                report(error)
                failed += 1
        del module, sys.modules[name]
        gc.collect()
    print(f"{passed} passed, {failed} failed")
    return failed


if __name__ == "__main__":
    sys.exit(1 if run(sys.argv[1] if len(sys.argv) > 1 else "") else 0)
