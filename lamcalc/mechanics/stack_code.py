"""Reading and printing of standard laminate stack codes such as ``[0/45/-45/90]s``."""

import re

import numpy as np

from lamcalc.errors import InputError, number

_TOKEN = re.compile(r"\s*(?:(?P<open>\()|(?P<close>\))(?:_?(?P<groups>\d+))?|(?P<slash>[/,])"
                    r"|(?P<sign>\+/-|\+-|-\+|±|∓|[+-])?\s*(?P<angle>\d+(?:\.\d+)?)(?:_(?P<repeat>\d+))?(?P<bar>\u0305|bar)?)")
_OUTER = re.compile(r"^\s*\[(?P<body>[^\[\]]+)\](?:_?(?P<times>\d+))?(?P<kind>[sSeETt])?\s*$")
_MAX_PLIES = 2000


def _refuse(code, rule, step):
    return InputError("stack code", rule, code, step)


def _repeated(plies, count, code):
    """Plies as often as the code says; the count is looked at before anything of that size is made."""
    times = int(count or 1)
    if not 1 <= times <= _MAX_PLIES:
        raise _refuse(code, f"must repeat a ply or group 1 to {_MAX_PLIES} times", "check the counts")
    return plies * times


def _items(body, code):
    """Angles of the body of a code and whether its last ply is shared by both halves."""
    stack, bar, position, expect_ply = [[]], False, 0, True
    while position < len(body):
        match = _TOKEN.match(body, position)
        if not match or match.end() == position:
            raise _refuse(code, f"cannot be read at '{body[position:position + 8].strip()}'", "write it like [0/45/-45/90]s")
        position = match.end()
        if match["slash"]:
            if expect_ply:
                raise _refuse(code, "has an empty place between two slashes", "give an angle there or drop the slash")
            expect_ply = True
            continue
        if not expect_ply and not match["close"]:
            raise _refuse(code, "needs a slash between plies", "write it like [0/90]")
        if bar:
            raise _refuse(code, "may have a shared middle ply only at its end", "move the barred ply to the end")
        if match["open"]:
            stack.append([])
            continue
        if match["close"]:
            if len(stack) == 1 or expect_ply:
                raise _refuse(code, "has brackets that do not match", "check ( and )")
            group = stack.pop()
            stack[-1] += _repeated(group, match["groups"], code)
        else:
            value = float(match["angle"])
            value = int(value) if value.is_integer() else value
            pair = {"±": [value, -value], "+/-": [value, -value], "+-": [value, -value],
                    "∓": [-value, value], "-+": [-value, value], "-": [-value]}.get(match["sign"], [value])
            stack[-1] += _repeated(pair, match["repeat"], code)
            bar = bool(match["bar"])
        expect_ply = False
        if len(stack[-1]) > _MAX_PLIES:
            raise _refuse(code, f"may describe at most {_MAX_PLIES} plies", "shorten it")
    if len(stack) != 1 or expect_ply:
        raise _refuse(code, "ends too early", "check the brackets and the last slash")
    return stack[0], bar


def parse_stack_code(code):
    """Ply angles of a stack code, first ply against the mould.

    Parameters
    ----------
    code : str
        Angles in degrees between slashes inside square brackets; groups in round
        brackets with a count; ``_n`` repeats a ply; ``+-45`` or ``±45`` is a pair;
        behind the bracket a count and ``s`` (symmetric), ``t`` or nothing (total);
        ``bar`` after the last angle marks a middle ply that both halves share [-].

    Returns
    -------
    list of float
        Angles, first ply first [deg].

    Raises
    ------
    InputError
        If the code cannot be read, an angle exceeds 90 in size or there are more than 2000 plies.

    References
    ----------
    .. [1] Laminate orientation code as used in ASTM D6507 (from memory).

    Examples
    --------
    >>> parse_stack_code("[0/45/-45/90]s")
    [0, 45, -45, 90, 90, -45, 45, 0]
    >>> parse_stack_code("[(0/90)2/45bar]s")
    [0, 90, 0, 90, 45, 90, 0, 90, 0]
    """
    if not isinstance(code, str) or len(code) > 4000:
        raise _refuse(code, "must be a text of at most 4000 characters", "write it like [0/45/-45/90]s")
    match = _OUTER.match(code)
    if not match:
        raise _refuse(code, "must be angles inside square brackets", "write it like [0/45/-45/90]s")
    angles, bar = _items(match["body"], code)
    if any(abs(a) > 90 for a in angles):
        raise _refuse(code, "must have angles between -90 and 90 [deg]", "subtract 180 degrees")
    symmetric = (match["kind"] or "").lower() == "s"
    if bar and not symmetric:
        raise _refuse(code, "may have a shared middle ply only in a symmetric stack", "add s behind the bracket")
    times = int(match["times"] or 1)
    if times == 0 or times * len(angles) * (2 if symmetric else 1) - bar > _MAX_PLIES:
        raise _refuse(code, f"must describe 1 to {_MAX_PLIES} plies", "check the counts")
    angles = angles * times
    return angles + angles[-2 if bar else -1::-1] if symmetric else angles


def _written(angle):
    """An angle with at most four decimals and never with an exponent, which no code has."""
    text = f"{angle:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _plies(angles):
    """Angles as text with runs of equal plies written as _n."""
    runs = []
    for value in angles:
        if runs and runs[-1][0] == value:
            runs[-1][1] += 1
        else:
            runs.append([value, 1])
    return "/".join(_written(value) + (f"_{count}" if count > 1 else "") for value, count in runs)


def _period(angles):
    for length in range(1, len(angles) // 2 + 1):
        if len(angles) % length == 0 and angles == angles[:length] * (len(angles) // length):
            return length
    return len(angles)


def format_stack_code(angles_deg):
    """Shortest of the common stack codes for a list of angles.

    Parameters
    ----------
    angles_deg : sequence of float
        Angles, first ply first [deg].

    Returns
    -------
    str
        Code that `parse_stack_code` reads back, angles with four decimals [-].

    Raises
    ------
    InputError
        If the list is empty or an angle exceeds 90 in size.

    Examples
    --------
    >>> format_stack_code([0, 45, -45, 90, 90, -45, 45, 0])
    '[0/45/-45/90]s'
    >>> format_stack_code([0, 90, 0, 90, 90, 0, 90, 0])
    '[0/90]2s'
    """
    angles = [] if isinstance(angles_deg, str) else number("angles", angles_deg, "deg")
    if np.ndim(angles) != 1 or not len(angles) or (np.abs(angles) > 90).any():
        raise InputError("angles", "must be one or more values between -90 and 90 [deg]", angles_deg, "check the list")
    angles = [float(a) + 0.0 for a in angles]
    tail, bar = "", ""
    if len(angles) > 1 and angles == angles[::-1]:
        bar = "bar" if len(angles) % 2 else ""
        angles, tail = angles[:(len(angles) + 1) // 2], "s"
    length = len(angles) if bar else _period(angles)
    times = len(angles) // length
    body = _plies(angles[:-1]) + "/" + _written(angles[-1]) if bar and len(angles) > 1 else _plies(angles[:length])
    return f"[{body}{bar}]{times if times > 1 else ''}{tail}"
