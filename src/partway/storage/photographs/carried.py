"""Photographs on their way from one ledger to another: each is looked at before any is kept."""

from __future__ import annotations

from collections.abc import Iterable

from partway.ledger.events.event import Event
from partway.ledger.photographs import Photographs
from partway.ledger.pictures import named_in
from partway.photographs.kept import check_kept


def carry(events: Iterable[Event], source: Photographs, target: Photographs) -> int:
    """Keep the photographs that some events name, those that are there; how many were new.

    Before the events themselves are added: so an event never counts on a file that is still to come. Raises Refused for
    one that is no photograph of ours, and then none is kept.
    """
    named = [digest for digest in named_in(events) if target.content(digest) is None]
    for digest in named:
        content = source.content(digest)
        if content is not None:
            check_kept(content, digest, f"photograph {digest[:12]}")
    count = 0
    for digest in named:
        content = source.content(
            digest
        )  # again, as all at once may be more than memory holds; a source gives what its digest says
        if content is not None:
            target.keep(digest, content)
            count += 1
    return count
