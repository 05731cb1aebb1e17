"""What a page offers to somebody who may not do all of it: forms and buttons that their role refuses are not there.

Asked of the same table as the door (`serving.rules`), so that a page cannot offer what would be refused. The owner's
pages are as their templates make them.
"""

from __future__ import annotations

import re
from html import escape, unescape

from partway.ledger.roles import Permission, Rights, Role, refusal
from partway.web.serving.rules import permission_at

FORM = re.compile(r'<form\b(?=[^>]*\bmethod="post")[^>]*\baction="([^"]*)"[^>]*>.*?</form>', re.DOTALL)
BUTTON = re.compile(r'<a\b(?=[^>]*\bclass="[^"]*\bbutton\b)[^>]*\bhref="([^"]*)"[^>]*>.*?</a>', re.DOTALL)
EMPTIED = re.compile(r"<details\b[^>]*>\s*<summary\b[^>]*>(?:(?!</summary>).)*</summary>\s*</details>", re.DOTALL)
HEADING = "</h1>"


def offered(text: str, rights: Rights, who: str) -> str:
    """A page without what this role may not do, and one line that says why and whom to ask."""
    if rights.role is Role.OWNER:
        return text
    refused: list[Permission] = []

    def form(found: re.Match[str]) -> str:
        act = _act(found[1]) or Permission.UNSTATED
        if rights.may(act):
            return found[0]
        refused.append(act)
        return ""

    def button(found: re.Match[str]) -> str:
        act = _act(found[1])
        return found[0] if act is None or rights.may(act) else ""

    kept = FORM.sub(form, text)
    kept = BUTTON.sub(button, EMPTIED.sub("", kept) if refused else kept)
    if not refused:
        return kept
    why = f'<p class="soft" role="note">{escape(refusal(rights, refused[0], who).says)}</p>'
    return kept.replace(HEADING, HEADING + why, 1)


def _act(address: str) -> Permission | None:
    """What is done where an address leads, None where nothing can be sent."""
    return permission_at("POST", unescape(address).partition("#")[0].partition("?")[0])
