"""Every open check row as a test of its own: printed value, source, tolerance from the printed digits."""

import pytest
from rows import check_row, read_rows

pytestmark = pytest.mark.published


def every(name):
    """Rows of one check file as pytest parameters named by row id and quantity."""
    return [pytest.param(row, id=f"{row['id']}: {row['quantity']}") for row in read_rows(name)]


def assert_agrees(name, raw):
    row = check_row(name, raw)
    assert row.agrees, f"{row.computed}, {row.rule} {row.printed} {row.raw['unit']}: {row.source}"


@pytest.mark.parametrize("row", every("mechanics"))
def test_mechanics(row):
    assert_agrees("mechanics", row)


@pytest.mark.parametrize("row", every("marine"))
def test_marine(row):
    assert_agrees("marine", row)


@pytest.mark.parametrize("row", every("shop"))
def test_shop(row):
    """Range rows must fall inside; a contradiction row must show that arithmetic and claim disagree."""
    assert_agrees("shop", row)
