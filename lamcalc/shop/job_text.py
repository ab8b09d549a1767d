"""The text of a job file: what is refused before and while reading, and how older formats are upgraded.

Nothing here opens a file.  `read` turns text into the checked `Job`.
"""

import codecs
import re
import tomllib

from pydantic import ValidationError

from lamcalc.shop.job_model import FORMAT, Job
from lamcalc.shop.job_places import TOKEN, places, replaced
from lamcalc.shop.job_problems import JobError, Problem, problems, short, shown

MOST_BYTES = 2_000_000
MOST_DEPTH = 12
MOST_VALUES = 20_000
END_MARK = "# end of job"


def decode(data, source="the job file"):
    """Turn the bytes of a job file into text, refusing what cannot be one.

    Parameters
    ----------
    data : bytes
        Content of the file [-].
    source : str
        Name of the file for messages [-].

    Returns
    -------
    str
        Text without byte-order mark [-].

    Raises
    ------
    JobError
        If the file is too large, empty, in another encoding or binary.

    Examples
    --------
    >>> decode(b"\\xef\\xbb\\xbfformat = 1")
    'format = 1'
    """
    def refuse(rule, received, next_step, line=None):
        return JobError(source, [Problem("", rule, received, next_step, line)])

    if len(data) > MOST_BYTES:
        raise refuse(f"must have at most {MOST_BYTES / 1e6:g} MB", "a larger file",
                     "check that this is a job file; the file was not changed")
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise refuse("must be saved as UTF-8", "UTF-16", "save it again with the encoding UTF-8")
    if not data.strip():
        raise refuse("must not be empty", "an empty file", "restore the copy that ends in .bak")
    if b"\0" in data:
        raise refuse("must be a text file", "binary data", "open a file that ends in .toml")
    try:
        return data.removeprefix(codecs.BOM_UTF8).decode("utf-8")
    except UnicodeDecodeError as problem:
        line = data.count(b"\n", 0, problem.start) + 1
        raise refuse("must be saved as UTF-8", f"the byte {data[problem.start]:#04x}",
                     "save it again with the encoding UTF-8", line) from None


def check_size(text, source="the job file"):
    """Refuse what is nested too deeply or has too many values, before any parser meets it.

    Parameters
    ----------
    text : str
        The file [-].
    source : str
        Name of the file for messages [-].

    Raises
    ------
    JobError
        If brackets or dotted keys nest deeper than `MOST_DEPTH`, or there are more than `MOST_VALUES` values.

    Examples
    --------
    >>> check_size("a = [[1], [2]]")
    """
    depth = dots = at = values = 0

    def refuse(rule, received):
        return JobError(source, [Problem("", rule, received, "write a plainer file", text.count("\n", 0, at) + 1)])

    while match := TOKEN.match(text, at):
        word, at = match.group(), match.end()
        if word in ("[", "{"):
            depth += 1
            values += 1
        elif word in ("]", "}"):
            depth = max(0, depth - 1)
        if word[0] in "[]{},=\n":
            dots = 0
            values += word in "=,"
        elif word[0] not in "#\"' \t\r":
            dots += word.count(".")
        if max(depth, dots) > MOST_DEPTH:
            raise refuse(f"must nest at most {MOST_DEPTH} tables or lists", "deeper nesting")
        if values > MOST_VALUES:
            raise refuse(f"must have at most {MOST_VALUES} values and tables", "more")


def parse(text, source="the job file"):
    """Parse the text as TOML, in words where it fails.

    Parameters
    ----------
    text : str
        The file [-].
    source : str
        Name of the file for messages [-].

    Returns
    -------
    dict
        Plain data [-].

    Raises
    ------
    JobError
        If the text is not valid TOML.

    Examples
    --------
    >>> parse("crew = 2")
    {'crew': 2}
    """
    check_size(text, source)
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as problem:
        reason = str(problem)
        found = re.search(r"\s*\(at (?:line (\d+), column \d+|(end of document))\)$", reason)
        line = text.count("\n") + 1 if found is None or found[2] else int(found[1])
        reason = reason[:found.start()] if found else reason
        hint = _likely_slip(text, line, reason)
        raise JobError(source, [Problem("", "must be a complete TOML text", f"something else ({short(reason)})",
                                        f"{hint}, or restore the copy that ends in .bak", line)]) from None


def _likely_slip(text, line, reason):
    """What to do about a line that is no TOML, for the slips that hands make most often."""
    if reason.startswith("Cannot overwrite"):
        return "this name stands twice in its table: delete one of the two lines"
    if reason.startswith("Cannot declare"):
        return "this table stands twice: make one of the two"
    if reason.startswith("Unclosed"):
        return "close the bracket of the list or table that begins above"
    written = text.split("\n")[line - 1][:MOST_BYTES // 1000] if line <= text.count("\n") + 1 else ""
    outside = re.sub(r'"[^"]*"', "", written)
    if re.search("[\u201c\u201d\u201e\u2018\u2019]", outside):
        return "write straight quotation marks, not curly ones"
    if outside.count('"') == 1:
        return "close the quotation mark"
    if re.search(r"=\s*-?\d+,\d", outside):
        return "write decimals with a point (1.5, not 1,5)"
    if re.match(r"\s*date\s*=", outside):
        return "write a date with the year first, like 2026-03-02"
    if re.search(r"=\s*-?[\d./ ]+\s*[A-Za-z]", outside):
        return "put a number with its unit between quotation marks, like \"3/4 in\""
    return "mend this line"


def _upgrade_0(text):
    """Format 0 to 1: three tables and three fields were renamed, waste was in percent, there was no end mark."""
    where = places(text)
    names = {("job",): "name", ("boat",): "craft", ("layups",): "schedules", ("waste_percent",): "waste",
             ("shop", "air_c"): "air_temperature_c", ("shop", "hull_c"): "hull_temperature_c"}
    edits = {(start, end): names[path] for path, start, end in where.keys if path in names}
    for path, (start, end) in where.values.items():
        if path == ("format",):
            edits[start, end] = "1"
        elif path[0] == "waste_percent" and len(path) == 2:
            edits[start, end] = _hundredth(text[start:end])
    return replaced(text, edits)


def _hundredth(written):
    """Percent as written to fraction as written; what is not a number is left for the model to refuse."""
    try:
        return f"{float(written.replace('_', '')) / 100:.12g}"
    except ValueError:
        return written


UPGRADES = {0: _upgrade_0}


def finished(text):
    """The text with the end mark as its last line, by which a cut-off file is told.

    Parameters
    ----------
    text : str
        A job file [-].

    Returns
    -------
    str
        The same with one end mark at the end [-].

    Examples
    --------
    >>> finished("format = 1\\n")
    'format = 1\\n# end of job\\n'
    """
    newline = "\r\n" if "\r\n" in text else "\n"
    return replaced(text, {span: "" for span in _end_marks(text)}).rstrip(" \t\r\n") + newline + END_MARK + newline


def _end_marks(text):
    """Start and end of the line of every end mark that stands alone; one inside a quoted text does not count."""
    if text.count(END_MARK) == 1 and text.rstrip().endswith("\n" + END_MARK):  # valid TOML: so this is a comment
        start = text.rindex(END_MARK)
        return [(start, len(text))]
    found = []
    for match in TOKEN.finditer(text):
        start = text.rfind("\n", 0, match.start()) + 1
        if match.group().rstrip() == END_MARK and not text[start:match.start()].strip():
            found.append((start, text.find("\n", match.end()) + 1 or len(text)))
    return found


def _format_of(data, text, source):
    """Version number of the file; a missing, unreadable or newer one is refused."""
    version = data.get("format")
    if type(version) is int and version == FORMAT:
        return FORMAT
    line = places(text).line(("format",))
    if isinstance(version, bool) or not isinstance(version, int) or version < 0:
        rule = f"must say which format the file is in, a whole number from 0 to {FORMAT} [-]"
        received = "nothing" if version is None else shown(version)
        raise JobError(source, [Problem("format", rule, received, f"write format = {FORMAT} in the first line", line)])
    if version > FORMAT:
        raise JobError(source, [Problem(
            "format", f"must be at most {FORMAT}: the file was written by a newer version of this program [-]",
            str(version), "install the newer version, or ask the sender for an older format; the file was not changed",
            line)])
    return version


def read(text, source="the job file", *, marked=True):
    """Check a text and make the job of it, upgrading older formats.

    Parameters
    ----------
    text : str
        The file [-].
    source : str
        Name of the file for messages [-].
    marked : bool
        Whether a file of the present format must carry the end mark [-].

    Returns
    -------
    Job
        Frozen model with its text [-].

    Raises
    ------
    JobError
        With every problem found, its line, field, rule and value.

    Examples
    --------
    >>> read("format = 1", marked=False)
    Traceback (most recent call last):
    lamcalc.shop.job_problems.JobError: the job file: 5 problems
      name: is missing [-]; received nothing. Next: add it.
      craft: is missing [-]; received nothing. Next: add it.
      shop: is missing [-]; received nothing. Next: add it.
      waste: is missing [-]; received nothing. Next: add it.
      prices: is missing [-]; received nothing. Next: add it.
    """
    data = parse(text, source)
    version = _format_of(data, text, source)
    if version == FORMAT and marked and not _end_marks(text):
        raise JobError(source, [Problem(
            "", f"must end with the line '{END_MARK}'", "a file without it, which may be cut off",
            "restore the copy that ends in .bak; if nothing is missing, add that line at the end",
            text.count("\n") + 1)])
    for older in range(version, FORMAT):
        text = UPGRADES[older](text)
        data = parse(text, source)
    text = finished(text)
    job, found = _validated(data, text)
    if found:  # raised here, where no foreign error hangs on it: some of those cannot be sent to another process
        raise JobError(source, found)
    job._text = text
    job._migrated_from = version if version < FORMAT else None
    return job


def _validated(data, text):
    """The job and no problem, or no job and what is wrong with it."""
    try:
        return Job.model_validate(data), []
    except ValidationError as failure:
        return None, problems(failure, data, text)
