"""What a page says to whoever reads it: its text, without its tags and what stands only for programs."""

from __future__ import annotations

import html
import re
from html.parser import HTMLParser


def words(page: str) -> str:
    """The text of a page from its heading on, on one line."""
    body = page[page.index("<main") :] if "<main" in page else page
    body = re.sub(r"<(script|style|datalist)\b.*?</\1>", " ", body, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


def unfolded(page: str) -> str:
    """A page without what stands folded: of each <details> that is not open the summary alone is left."""
    reader = _Unfolded()
    reader.feed(page)
    return "".join(reader.seen)


class _Unfolded(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.seen: list[str] = []
        self._folded: list[bool] = []  # of each <details> around: whether it is closed
        self._summary = 0

    @property
    def _hidden(self) -> bool:
        return sum(self._folded[: len(self._folded) - bool(self._summary)]) > 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "details":
            self._folded.append("open" not in dict(attrs))
        elif tag == "summary":
            self._summary += 1
        self._keep(self.get_starttag_text() or "")

    def handle_endtag(self, tag: str) -> None:
        self._keep(f"</{tag}>")
        if tag == "details":
            self._folded.pop()
        elif tag == "summary":
            self._summary -= 1

    def handle_data(self, data: str) -> None:
        self._keep(data)

    def handle_entityref(self, name: str) -> None:
        self._keep(f"&{name};")

    def handle_charref(self, name: str) -> None:
        self._keep(f"&#{name};")

    def _keep(self, text: str) -> None:
        if not self._hidden:
            self.seen.append(text)
