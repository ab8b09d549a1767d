"""Lists of a job as rows for a spreadsheet: what to buy, what to cut."""

import math

_CUT_FIRST = ("part", "schedule")


def buying_rows(found, absent=()):
    """Buying list with cost, both unit systems.

    Parameters
    ----------
    found : TakeOff
        Take-off of the job [-].
    absent : sequence of str
        Parts of the job that are not in it [-].

    Returns
    -------
    list of list
        Heads, one row an item, the sum [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.takeoff import take_off
    >>> rows = buying_rows(take_off(load_demo()))
    >>> rows[0][0], rows[-1][0]
    ('item', 'sum of what has a price')
    """
    table = found.buying_table()
    costs = [k for k, name in enumerate(table.columns) if name.startswith("cost")]
    last = ["sum of what has a price"] + [""] * (len(table.columns) - 1)
    last[costs[0]] = round(found.buying_cost, 2)
    notes = [f"NOT IN THIS LIST: {', '.join(absent)}"] if absent else []
    notes += [f"without a price: {', '.join(found.unpriced)}"] if found.unpriced else []
    last[-1] = "; ".join(notes) or last[-1]
    return [list(table.columns), *_rows(table), last]


def cutting_rows(found):
    """Cut list of all parts, both unit systems.

    Parameters
    ----------
    found : TakeOff
        Take-off of the job [-].

    Returns
    -------
    list of list
        Heads, one row a strip [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.takeoff import take_off
    >>> cutting_rows(take_off(load_demo()))[1][:3]
    ['transom', 'transom_cast', 'laminate 1']
    """
    out = []
    for name, part in found.parts.items():
        table = part.cut_table()
        if not out:
            out.append([*_CUT_FIRST, *table.columns])
        out += [[name, part.schedule, *row] for row in _rows(table)]
    return out


def _rows(table):
    """Rows with rounded numbers and nothing where nothing is known."""
    return [[_cell(value) for value in row] for row in table.itertuples(index=False)]


def _cell(value):
    if value is None or (isinstance(value, float) and math.isnan(value)):
        return ""
    if isinstance(value, str | int):
        return "none" if value == "-" else value
    return int(value) if float(value).is_integer() else round(float(value), 3)
