"""Paths and settings that the tests share."""

import os
import sys
from pathlib import Path

from hypothesis import settings

for folder in ("published", "benchmarks"):
    sys.path.insert(0, str(Path(__file__).parent / folder))

# notebooks are compared on the demo, whatever job this checkout was last used for
os.environ["LAMCALC_JOB"] = "demo"

# no time limits in tests: a busy machine is not a defect
settings.register_profile("quick", max_examples=30, deadline=None)
settings.register_profile("thorough", max_examples=500, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "quick"))
