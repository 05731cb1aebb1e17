"""What may be recorded in the pocket, field by field as the body of its address in the JSON interface takes it."""

from __future__ import annotations

from partway.reports.pocket.forms import Look, PocketChoice, PocketField, PocketForm

WORKS = (PocketChoice("unknown", "Not known"), PocketChoice("yes", "Yes"), PocketChoice("no", "No"))
ACTIVITIES = {"collect": "Collecting", "bench": "At the bench", "haul": "Hauling", "list": "Listing", "other": "Other"}
SPENT = {"fuel": "Fuel", "blades": "Blades", "fees": "Fees", "other": "Other"}


def _field(name: str, label: str, sort: Look = "line", hint: str = "", *, need: bool = False) -> PocketField:
    return PocketField(name, label, sort, hint, need=need)


def _more(name: str, label: str, sort: Look = "line", hint: str = "") -> PocketField:
    return PocketField(name, label, sort, hint, more=True)


def _choices(said: dict[str, str]) -> tuple[PocketChoice, ...]:
    return tuple(PocketChoice(value, words) for value, words in said.items())


FIND = _field("find", "Which find", "find", need=True)
BUYER = _field("buyer", "Which buyer", "buyer", need=True)
MINUTES = "such as 45 or 1 h 30"


def pocket_forms(mostly: dict[str, str], unit: str) -> tuple[PocketForm, ...]:
    """All of them, the likeliest first; `mostly` is what a thing that no kind is may be made of."""
    mass = f"with its unit, such as 5.2 {unit}"
    lines = (
        _field("grade", "Grade", "grade", need=True),
        _field("mass", "Net mass printed", "number", mass, need=True),
        _field("price", "Price printed", "number", f"with what it is per, such as 4.10 /{unit}", need=True),
        _field("own", "Your own mass", "number", f"{mass}; all for the whole bin, yard for what the yard says"),
    )
    return (
        PocketForm(
            "found",
            "Taken",
            (
                _field("kind", "What is it", "kind", need=True),
                _field("count", "How many", "count"),
                _field("mass", "On the scale, all together", "number", mass),
                PocketField("works", "Does it work", "choice", choices=WORKS),
                _more("source", "Where from"),
                _more("model", "Model", hint="the maker's number, as printed on it"),
                PocketField(
                    "mostly",
                    "Mostly, for a thing that no kind is",
                    "choice",
                    more=True,
                    choices=(PocketChoice("", "A kind"), *_choices(mostly)),
                ),
                _more("note", "Anything else"),
            ),
        ),
        PocketForm(
            "tested", "Tested", (FIND, PocketField("works", "Does it work", "choice", need=True, choices=WORKS[1:]))
        ),
        PocketForm("weighed", "Weighed", (FIND, _field("mass", "All that is left of it", "number", mass, need=True))),
        PocketForm(
            "pictured",
            "Photograph",
            (
                _field("find", "Of what", "thing", need=True),
                _field("photo", "Photograph", "photo", "the place that a phone writes into it is not kept", need=True),
                _more("piece", "Which piece", hint="of a find; empty for the whole of it"),
                _more("note", "Anything to say of it"),
            ),
        ),
        PocketForm(
            "quoted",
            "Price heard",
            (
                BUYER,
                _field("grade", "Grade", "grade", need=True),
                _field("price", "Price", "number", f"with what it is per, such as 4.10 /{unit} or 6 each", need=True),
                _more("from", "For lots from", "number", mass),
                _more("minimum", "Smallest lot", "number", mass),
                _more("piece", "What one piece weighs", "number", f"{mass}; for a price by the piece"),
                _more("most", "The most at one visit", "number", "a mass or pieces, such as 200 kg or 5 pieces"),
            ),
        ),
        PocketForm("refused", "Not taken", (BUYER, _field("grade", "Grade", "grade", need=True))),
        PocketForm(
            "ticketed",
            "Ticket",
            (
                BUYER,
                PocketField("lines", "Its lines", "lines", need=True, of=lines),
                _field("total", "Total as printed", "number"),
                _field("number", "Number on it"),
                _more("haul", "On which haul", "haul"),
            ),
            note="Weigh and look before you sign: a ticket is hard to change afterwards.",
        ),
        PocketForm(
            "sold",
            "Sold",
            (
                FIND,
                _field("price", "Price of each", "number", need=True),
                _field("count", "How many", "count"),
                _more("part", "Which piece", hint="empty for the whole find"),
                _more("fee", "Fee, of all together", "number"),
                _more("postage", "Postage, of all together", "number"),
                _more("minutes", "Time to list and pack", "number", MINUTES),
            ),
        ),
        PocketForm(
            "spent",
            "Spent",
            (
                PocketField("category", "For", "choice", choices=_choices(SPENT)),
                _field("what", "What it was", need=True),
                _field("amount", "How much", "number", need=True),
            ),
        ),
        PocketForm(
            "worked",
            "Hours",
            (
                PocketField("activity", "At what", "choice", need=True, choices=_choices(ACTIVITIES)),
                _field("time", "How long", "number", MINUTES, need=True),
                _more("find", "On which find", "find"),
                _more("note", "Anything else"),
            ),
        ),
        PocketForm(
            "noted",
            "Note",
            (
                _field("text", "In your own words", need=True),
                _field("find", "About which find", "find"),
                _field("buyer", "About which buyer", "buyer"),
                _more("bin", "About which bin", "bin"),
            ),
        ),
        PocketForm("said", "Say it", (_field("text", "In your own words", "text", need=True),)),
    )
