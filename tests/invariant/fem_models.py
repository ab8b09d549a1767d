"""The independent models, and all their numbers beside the package's."""

import importlib
from functools import lru_cache

MODULES = ("fem_strip", "fem_panel", "fem_sandwich", "fem_hat", "fem_transom")


@lru_cache
def quantities(module):
    """Numbers of one model; each is solved on three meshes once."""
    return tuple(importlib.import_module(module).quantities())


def agreement():
    """Numbers of all models."""
    return tuple(q for module in MODULES for q in quantities(module))
