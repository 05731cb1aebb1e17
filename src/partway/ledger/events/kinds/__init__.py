"""Each kind of event in one place: its data, their sorts, its effect, what it is about and its words.

`PAYLOADS` is the one list of them: the codec, the fold, exports, the ledger's lines and corrections read it. Masses are
whole milligrams, money is exact decimals, never a float. All of them are written as JSON and read back without loss.
"""

from __future__ import annotations

from partway.ledger.events.kinds.binned import Binned, Moved, Recounted
from partway.ledger.events.kinds.corrected import Corrected
from partway.ledger.events.kinds.described import Described, Pictured
from partway.ledger.events.kinds.found import Found, Tested, Weighed
from partway.ledger.events.kinds.hauled import Hauled, Round
from partway.ledger.events.kinds.identified import Identified, Said
from partway.ledger.events.kinds.listed import AskedAnew, Listed, Returned, TakenDown
from partway.ledger.events.kinds.money import ROUNDING, Paid, Spent, Worked
from partway.ledger.events.kinds.opened import AnswerSeen, Opened, PieceOut, Run
from partway.ledger.events.kinds.quoted import Quoted
from partway.ledger.events.kinds.setting import Set
from partway.ledger.events.kinds.sold import Discarded, Parted
from partway.ledger.events.kinds.ticketed import Deduction, Ticketed, TicketLine
from partway.ledger.events.kinds.traded import Postage, Traded
from partway.ledger.events.kinds.written import Noted, Ruled
from partway.ledger.events.payload import Payload
from partway.ledger.events.sorts import Activity, BuyerKind, Works

PAYLOADS: dict[str, type[Payload]] = {  # in the order in which they are listed and exported
    payload.KIND: payload
    for payload in (
        Found, Tested, Weighed, Opened, Binned, Recounted, Moved, Parted, Discarded, Traded, Quoted, Set, Hauled,
        Ticketed, Paid, Spent, Worked, Identified, Ruled, Corrected, Described,
        Listed, AskedAnew, TakenDown, Returned, Round, Pictured, Noted,
    )
}  # fmt: skip

__all__ = [
    "PAYLOADS", "ROUNDING", "Activity", "AnswerSeen", "AskedAnew", "Binned", "BuyerKind", "Corrected",
    "Deduction", "Described", "Discarded", "Found", "Hauled", "Identified", "Listed", "Moved", "Noted", "Opened",
    "Paid", "Parted", "Payload", "Pictured", "PieceOut", "Postage", "Quoted", "Recounted", "Returned", "Round",
    "Ruled", "Run", "Said", "Set", "Spent", "TakenDown", "Tested", "TicketLine", "Ticketed", "Traded",
    "Weighed", "Worked", "Works",
]  # fmt: skip
