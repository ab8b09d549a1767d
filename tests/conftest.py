"""Paths and settings that the tests share."""

import os
import sys
from pathlib import Path

import pytest
from hypothesis import settings

from lamcalc.errors import InputError

for folder in ("published", "benchmarks"):
    sys.path.insert(0, str(Path(__file__).parent / folder))

# notebooks are compared on the demo, whatever job this checkout was last used for
os.environ["LAMCALC_JOB"] = "demo"

# no time limits in tests: a busy machine is not a defect
settings.register_profile("quick", max_examples=30, deadline=None)
settings.register_profile("thorough", max_examples=500, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "quick"))

plain = InputError.__init__


def with_words_checked(self, name, rule, value, next_step=""):
    """Every refusal that a test meets must read as sentences: <name> <rule>. Next: <next step>."""
    words = (name, rule, next_step)
    if not all(isinstance(text, str) for text in words):
        pytest.fail(f"words are missing in a refusal: {words}")
    if not rule[:1].islower() or next_step[:2].isupper():
        pytest.fail(f"a refusal does not read as sentences: {words}")
    plain(self, name, rule, value, next_step)


InputError.__init__ = with_words_checked
