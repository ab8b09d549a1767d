"""The list of benchmarks; a module of benchmarks appends its own rows."""

from collections.abc import Callable
from dataclasses import dataclass

ROWS = []


@dataclass(frozen=True)
class Row:
    """One kernel against the plain loop.

    `prepare(quick)` builds the problem and returns a `Case`; with `quick` it is small.  Ratios are times per item.
    """

    name: str
    goal: float
    prepare: Callable


@dataclass(frozen=True)
class Case:
    """A kernel and a loop over the same problem, and the check that both give the same result."""

    loop: Callable
    loop_items: int
    kernel: Callable
    kernel_items: int
    check: Callable


def row(name, *, goal):
    """Decorator that puts a prepare function on the list."""

    def add(prepare):
        ROWS.append(Row(name, goal, prepare))
        return prepare

    return add
