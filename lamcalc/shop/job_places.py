"""Where keys and values stand in the text of a job file, for line numbers and for upgrades that keep comments."""

import bisect
import re
import tomllib
from dataclasses import dataclass
from functools import cached_property

TOKEN = re.compile(
    r'"""(?:[^"\\]++|\\.|"{1,2}(?!"))*+"{3,5}|\'\'\'(?:[^\']++|\'{1,2}(?!\'))*+\'{3,5}'
    r'|"(?:[^"\\\n]++|\\.)*+"|\'[^\'\n]*+\'|\#[^\n]*+|\n\s*+|[ \t\r]++'
    r'|[\[\]{}=,]|[^\s\[\]{}=,\#"\']+', re.DOTALL)


@dataclass(frozen=True)
class Places:
    """Where keys and values stand in a text that is valid TOML.

    Parameters
    ----------
    keys : tuple of (path, start, end)
        Every key as written, in table headers too [-].
    values : dict of path to (start, end)
        Text of every value [-].
    newlines : tuple of int
        Positions of the line ends [-].
    """

    keys: tuple
    values: dict
    newlines: tuple

    def line(self, path):
        """Line of a path, or of the nearest table or list around it.

        Parameters
        ----------
        path : tuple of str or int
            Keys and list places [-].

        Returns
        -------
        int or None
            Line number from 1 [-].
        """
        path = tuple(path)
        while path and path not in self._starts:
            path = path[:-1]
        return bisect.bisect_left(self.newlines, self._starts[path]) + 1 if path else None

    @cached_property
    def _starts(self):
        found = {key: start for key, (start, _) in self.values.items()}
        return found | {key: start for key, start, _ in reversed(self.keys)}


def replaced(text, edits):
    """The text with some stretches replaced.

    Parameters
    ----------
    text : str
        Any text [-].
    edits : mapping of (start, end) to str
        New text of each stretch; they must not overlap [-].

    Returns
    -------
    str
        The new text [-].

    Examples
    --------
    >>> replaced("crew = 2", {(7, 8): "3"})
    'crew = 3'
    """
    out, at = [], 0
    for start, end in sorted(edits):
        out += [text[at:start], edits[start, end]]
        at = end
    return "".join(out) + text[at:]


def places(text):
    """Find every key and value of a valid TOML text.

    Parameters
    ----------
    text : str
        Valid TOML [-].

    Returns
    -------
    Places
        Positions [-].

    Examples
    --------
    >>> places("[shop]\\ncrew = 2\\n").line(("shop", "crew"))
    2
    """
    return _Scanner(text).run()


class _Scanner:
    """Walks over the tokens of a valid TOML text and notes paths and positions."""

    def __init__(self, text):
        self.tokens = [(m.group(), m.start(), m.end()) for m in TOKEN.finditer(text) if m.group().strip(" \t\r")]
        self.text, self.at, self.keys, self.values, self.counts = text, 0, [], {}, {}

    def run(self):
        table = ()
        while self.at < len(self.tokens):
            word = self.tokens[self.at][0]
            if word[0] in "\n#":
                self.at += 1
            elif word == "[":
                table = self._header()
            else:
                self._pair(table)
        newlines = tuple(m.start() for m in re.finditer("\n", self.text))
        return Places(tuple(self.keys), self.values, newlines)

    def _header(self):
        listed = self.tokens[self.at + 1][0] == "["
        self.at += 2 if listed else 1
        path = self._key((), "]", count_last=listed)
        self.at += 2 if listed else 1
        return path

    def _key(self, path, stop, *, count_last=False):
        """Read key parts up to `stop`, noting each; return the path below `path`."""
        parts = []
        while self.tokens[self.at][0] != stop:
            word, start, end = self.tokens[self.at]
            if word[0] in "\"'":
                parts.append((tomllib.loads(f"x = {word}")["x"], start, end))
            elif "." not in word:
                parts.append((word, start, end))
            else:
                parts += [(m.group(), start + m.start(), start + m.end()) for m in re.finditer(r"[^.]+", word)]
            self.at += 1
        for place, (name, start, end) in enumerate(parts):
            path += (name,)
            self.keys.append((path, start, end))
            if count_last and place == len(parts) - 1:
                self.counts[path] = self.counts.get(path, -1) + 1
                self.keys.append((path + (self.counts[path],), start, end))
            if path in self.counts:
                path += (self.counts[path],)
        return path

    def _pair(self, table):
        path = self._key(table, "=")
        self.at += 1
        self._value(path)

    def _skip(self):
        while self.tokens[self.at][0][0] in "\n#":
            self.at += 1

    def _value(self, path):
        word, start, end = self.tokens[self.at]
        if word == "[":
            end = self._members(path)
        elif word == "{":
            end = self._pairs(path)
        else:
            while self.at < len(self.tokens) and self.tokens[self.at][0][0] not in "\n,]}#":
                end = self.tokens[self.at][2]
                self.at += 1
        self.values[path] = start, end

    def _members(self, path):
        self.at += 1
        self._skip()
        count = 0
        while self.tokens[self.at][0] != "]":
            self._value(path + (count,))
            count += 1
            self._skip()
            if self.tokens[self.at][0] == ",":
                self.at += 1
                self._skip()
        self.at += 1
        return self.tokens[self.at - 1][2]

    def _pairs(self, path):
        self.at += 1
        self._skip()
        while self.tokens[self.at][0] != "}":
            self._pair(path)
            self._skip()
            if self.tokens[self.at][0] == ",":
                self.at += 1
                self._skip()
        self.at += 1
        return self.tokens[self.at - 1][2]
