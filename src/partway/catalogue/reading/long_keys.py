"""Keys of many names joined by dots, found in a TOML text before it is parsed.

Python's own parser takes a time that grows with the square of their number: 20 kB took 1.7 s, a megabyte hours. So the
text is looked through once, past its strings and comments (toml.io, version 1.0, "Keys", "String", "Comment").
"""

from __future__ import annotations

import re
from functools import cache

# Nothing in here is tried twice ("++", "*+"), so that the search itself takes a time in line with the text. A string
# that does not end runs to the end of its line, or of the text; what else is wrong with it is for the parser to say.
_BASIC = r'"(?:[^"\\\n]|\\[^\n])*+"'
_LITERAL = r"'[^'\n]*+'"
_NAME = rf"(?:[A-Za-z0-9_-]++|{_BASIC}|{_LITERAL})"
_PAST = "|".join(
    (
        r'"""(?:[^"\\]|\\(?:.|\Z)|"(?!""))*+(?:"{3,5}|\Z)',  # two quotes may stand right before the three that end it
        r"'''(?:[^']|'(?!''))*+(?:'{3,5}|\Z)",
        r"#[^\n]*+",
        rf"{_BASIC}|{_LITERAL}|[\"'][^\n]*+",
        r"[A-Za-z0-9_-]++",
        r"[^A-Za-z0-9_\-\"'#]++",
    )
)


@cache
def _pattern(most: int) -> re.Pattern[str]:
    long = rf"{_NAME}(?:[ \t]*+\.[ \t]*+{_NAME}){{{most}}}"
    return re.compile(rf"(?!\"\"\"|''')(?P<long>{long})|{_PAST}", re.DOTALL)


def long_key(text: str, most: int) -> int | None:
    """The line of the first key with more names than that, None where there is none."""
    for found in _pattern(most).finditer(text):
        if found["long"] is not None:
            return text.count("\n", 0, found.start()) + 1
    return None
