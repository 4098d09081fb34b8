"""Puts the reference implementations and published suites where these tests can import them."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2] / "reference" / "charts"))
