"""Puts the reference implementations, published suites and broken charts where tests find them."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[2] / "reference" / "charts"))
