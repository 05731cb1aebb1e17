"""The files of the page in the pocket: the same in every copy of this program, with nothing of a ledger in them.

They answer without a key, as static files do: an app on a phone's home screen shares no cookie with the phone's
browser, so the page has to be there before it can ask for its key. The ledger's data has an address of its own, and
a key before it.
"""

from __future__ import annotations

import base64
import hashlib
import json
from functools import cache, partial
from pathlib import Path

from fastapi import APIRouter
from fastapi.responses import Response

from partway.things.ages import NOTICE_DAYS, OLD_DAYS

router = APIRouter()
FILES = Path(__file__).parent / "files"
STYLE = Path(__file__).parent.parent / "static" / "partway.css"
FRONT = "/pocket/"
WORKER = "/pocket/sw.js"
TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
}


@cache
def shell_files() -> dict[str, bytes]:
    """Each file by its address, as it is sent."""
    found = {_address(file): file.read_bytes() for file in sorted(FILES.iterdir()) if file.suffix in TYPES}
    ages = {b"@look-days": str(NOTICE_DAYS), b"@old-days": str(OLD_DAYS)}
    for mark, days in ages.items():
        found[FRONT] = found[FRONT].replace(mark, days.encode())
    kept = {address: content for address, content in found.items() if address != WORKER}
    kept["/static/partway.css"] = STYLE.read_bytes()
    parts = {b"@version": shell_version(found), b"@files": json.dumps({a: _integrity(c) for a, c in kept.items()})}
    for mark, part in parts.items():
        found[WORKER] = found[WORKER].replace(mark, part.encode())
    return found


def shell_version(files: dict[str, bytes]) -> str:
    """The digest of all that a phone keeps of the page: another one makes it fetch all of it anew."""
    told = hashlib.sha256()
    for address, content in (*files.items(), ("", STYLE.read_bytes())):
        told.update(f"{address} {len(content)}\n".encode() + content)
    return told.hexdigest()[:16]


def _integrity(content: bytes) -> str:
    """What a browser holds a file against before it keeps it (W3C Subresource Integrity)."""
    return f"sha256-{base64.b64encode(hashlib.sha256(content).digest()).decode()}"


def _address(file: Path) -> str:
    return FRONT if file.name == "index.html" else FRONT + file.name


def _send(address: str) -> Response:
    suffix = ".html" if address == FRONT else Path(address).suffix
    return Response(shell_files()[address], media_type=TYPES[suffix])


for _one in shell_files():
    router.add_api_route(_one, partial(_send, _one), methods=["GET"], name=f"pocket {_one}", response_class=Response)
