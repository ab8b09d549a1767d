"""Print the one command line of the README block with the given title."""

import re
import sys
from pathlib import Path

BLOCK = re.compile(r"^```sh\n# (?P<title>[^\n]+)\n(?P<command>[^\n]+)\n```$", re.MULTILINE)


def commands(text):
    """Titles and command lines of the README's fenced sh blocks."""
    return {match["title"]: match["command"] for match in BLOCK.finditer(text)}


if __name__ == "__main__":
    print(commands((Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8"))[sys.argv[1]])
