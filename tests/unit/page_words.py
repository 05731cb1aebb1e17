"""What a page says to whoever reads it: its text, without its tags and what stands only for programs."""

from __future__ import annotations

import html
import re


def words(page: str) -> str:
    """The text of a page from its heading on, on one line."""
    body = page[page.index("<main") :] if "<main" in page else page
    body = re.sub(r"<(script|style|datalist)\b.*?</\1>", " ", body, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())
