"""The hand-made recipes of the tests of ``part`` serve here, too."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "part"))
