"""What each address is for: the door asks the role for it before anything else is looked at.

Whatever reads (GET, HEAD, OPTIONS) is a look, and writes nothing. Each address that is sent something stands here by
what it does; one that does not is the owner's alone. Whose event is corrected, and what a spoken line or what a phone
hands back comes to, is known only later: `actions.recording.permitted` asks again for each event.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache

from starlette.routing import compile_path

from partway.ledger.roles import Permission

SAFE = ("GET", "HEAD", "OPTIONS")
SENT: Mapping[Permission, tuple[str, ...]] = {
    # Worked out or looked over, and kept nowhere; /pocket/back answers for each of what it is handed by itself, and
    # everybody may leave.
    Permission.LOOK: (
        "/haul",
        "/haul/plan/{job}/bins",
        "/haul/plan/{job}/why",
        "/haul/{haul}/ticket/{buyer}/sum",
        "/bench/{find_id}/balance",
        "/books/export/look",
        "/api/plan",
        "/api/plan/scenario",
        "/api/depth/scenario",
        "/api/quotes/preview",
        "/pocket/back",
        "/devices/leave",
    ),
    Permission.RECORD: (
        "/say",
        "/curb/{kind}/taken",
        "/rounds/start",
        "/rounds/end",
        "/rounds/past",
        "/bench/{find_id}/open",
        "/bench/{find_id}/work",
        "/bench/{find_id}/test",
        "/bench/{find_id}/weigh",
        "/bench/{find_id}/list",
        "/bench/{find_id}/reprice",
        "/bench/{find_id}/take-down",
        "/bench/{find_id}/sell",
        "/bench/{find_id}/discard",
        "/photographs/{sort}/{of}",
        "/pocket/photograph",
        "/bins/new",
        "/bins/{bin_id}/recount",
        "/bins/{bin_id}/move",
        "/bins/{bin_id}/change",
        "/haul/plan/{job}/stop",
        "/haul/plan/{job}/accept/{trip}",
        "/haul/{haul}/ticket/{buyer}",
        "/haul/{haul}/ticket/{buyer}/photograph",
        "/haul/{haul}/paid/{name}",
        "/haul/{haul}/finish",
        "/what/key/confirm",
        "/books/money/hours",
        "/books/money/spend",
        "/books/money/paid",
        "/books/notes",
        "/api/say",
        "/api/plan/{job}",  # stop it
        "/api/plan/{job}/accept/{trip}",
        "/api/find",
        "/api/test",
        "/api/weigh",
        "/api/open",
        "/api/sell",
        "/api/list",
        "/api/reprice",
        "/api/take-down",
        "/api/return",
        "/api/discard",
        "/api/picture",
        "/api/bin",
        "/api/recount",
        "/api/move",
        "/api/haul/start",
        "/api/haul/finish",
        "/api/ticket",
        "/api/paid",
        "/api/spend",
        "/api/hours",
        "/api/note",
        "/api/round/start",
        "/api/round/end",
        "/api/round",
        "/api/identify",
    ),
    Permission.PRICE: (
        "/first/price",
        "/buyers/{buyer_id}/list",
        "/buyers/{buyer_id}/list/photograph",
        "/buyers/{buyer_id}/quote",
        "/api/quote",
        "/api/quotes",
    ),
    Permission.CORRECT: ("/undo", "/books/ledger/{event_id}/back", "/books/ledger/{event_id}/anew", "/api/correct"),
    Permission.ARRANGE: (
        "/demo",
        "/first/place",
        "/settings",
        "/kinds",
        "/kinds/from/{find}",
        "/kinds/{kind}",
        "/kinds/{kind}/toml",
        "/kinds/{kind}/given-up",
        "/buyers/new",
        "/buyers/{buyer_id}/terms",
        "/place/{card}",
        "/api/buyer",
        "/api/set",
        "/api/own-kinds",
        "/api/own-kinds/from",
        "/api/own-kinds/given-up",
        "/api/place",
    ),
    Permission.MERGE: ("/books/export/take",),
    Permission.KEYS: ("/devices", "/devices/end", "/devices/role"),
}


def permission_at(method: str, path: str) -> Permission | None:
    """What an address is for; None for one of which nothing is stated."""
    if method in SAFE:
        return Permission.LOOK
    return next((act for pattern, act in _patterns() if pattern.match(path)), None)


def stated() -> dict[str, Permission]:
    """What each address that is sent something is for."""
    return dict(_rows())


@cache
def _patterns() -> tuple[tuple[re.Pattern[str], Permission], ...]:
    """Fixed addresses before those with names in them, as the app looks for them."""
    rows = sorted(_rows(), key=lambda row: (row[0].count("{"), row[0]))
    return tuple((compile_path(path)[0], act) for path, act in rows)


def _rows() -> Iterator[tuple[str, Permission]]:
    return ((path, act) for act, paths in SENT.items() for path in paths)
