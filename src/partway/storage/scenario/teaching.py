"""The JSON Schema of a scenario file, with the overlaid tables spelled out and every field explained."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from partway.catalogue.reading.forms import AnatomyForm, GradeForm
from partway.storage.scenario.forms import ScenarioFile

# What the fields of overlaid tables mean; the catalogue's forms settle their types and bounds.
OVERLAYS: dict[str, dict[str, str]] = {
    "GradeForm": {
        "id": "Id of the grade; one we ship changes only in the fields given.",
        "name": "Name for people to read.",
        "family": "Family it belongs to, such as copper or boards; a buyer can refuse a whole family.",
        "qualifies": "What a lot must be to pass as this grade.",
        "spoilers": "What spoils a lot of it.",
        "clues": "How to tell it at the bench.",
        "magnet": "How a magnet takes to it.",
        "density": "Bulk density in kg/L, how it lies in a bin: one number or low, likely, high; a new grade needs it.",
        "ratio": "Price relative to No. 2 copper at the same yard on the same day; a prior, never a price.",
        "anchor": "What its price moves with: copper, iron, aluminium, nickel, gold, lead, zinc, tin, tungsten.",
        "downgrades": "Grades it may also be sold as.",
        "hazards": "Cautions (by id) that go with it.",
        "source": "Where the estimate comes from: a source id, such as memory, practice or measured.",
        "on": "Day the estimate was written down, a TOML date.",
        "note": "What decides, to be read with one in the hand; at most 160 characters.",
        "unsold": "Why no piece of any kind is sold as it, where none is.",
    },
    "AnatomyForm": {
        "kind": "Id of the kind, as [[find]] names it.",
        "name": "Name for people to read.",
        "family": "Family of the kind, such as kitchen.",
        "source": "Where the estimates come from: a source id, such as memory, practice or measured.",
        "on": "Day the estimates were written down, a TOML date.",
        "works": "Chance from 0 to 1 that a find of unknown condition works.",
        "test_minutes": "Minutes to find out whether it works: one number or low, likely, high.",
        "cautions": "Cautions (by id) shown before anything else about this kind.",
        "published": "Mean masses that somebody published for this kind.",
        "parts_in": "What prices and postage of parts are in: money, or copper for kg of No. 2 copper.",
        "note": "What decides, to be read with one in the hand; at most 160 characters.",
        "names": "What else people call it; a question mark behind one that may mean another thing.",
        "became": "Kinds it was split into: finds of it stay, no new one is of it.",
        "piece": "The pieces; the first is the whole find.",
        "operation": "The ways to open its pieces.",
    },
    "PieceForm": {
        "id": "Id of the piece, unique in its anatomy.",
        "name": "Name for people to read.",
        "mass_kg": 'Mass in kg: one number, or low, likely, high, or "rest" for what the others leave.',
        "like": "A component that this piece is one of; its pieces and operations come along, at this mass.",
        "sells": "Grades it may be sold as, as it is.",
        "parts": "Ways to sell it by the unit.",
        "stop": "Caution (by id) that says why this piece stays shut.",
        "note": "What decides, to be read with one in the hand; at most 160 characters.",
        "ask": "The question that tells of what sort the piece is, where that shows only in the hand.",
        "ask_minutes": "Minutes to answer it: one number or low, likely, high.",
        "ask_cautions": "Cautions (by id) that come before it is answered.",
        "either": "The answers, two or more; their chances add up to 1.",
    },
    "PieceAnswerForm": {
        "answer": "Id of the answer.",
        "name": "What the piece then is, for people to read.",
        "chance": "Share of finds in which it is so, above 0 to 1.",
        "like": "A component that the piece then is one of.",
        "sells": "Grades it may then be sold as.",
        "parts": "Ways to sell it then by the unit.",
        "stop": "Caution (by id) that says why it then stays shut.",
        "note": "What decides, to be read with one in the hand; at most 160 characters.",
    },
    "SaleForm": {
        "grade": "Id of a grade.",
        "share": "Share of the mass that reaches the grade, above 0 to 1, or low, likely, high; the rest is residue.",
        "before_required": "Whether it may be sold so before a required removal.",
    },
    "PartForm": {
        "name": "What is listed for sale.",
        "price_in": "What its price is in, where that is not what `parts_in` says.",
        "price": "Price of one, in the currency: one number or low, likely, high.",
        "chance": "Chance from 0 to 1 that it sells.",
        "days": "Days until it sells.",
        "minutes": "Minutes to list and pack one; they count as bench time.",
        "fee": "Share of the price that the place of sale takes, 0 to 1.",
        "postage": "Money to send one.",
        "needs": "works: only from finds that work.",
        "most": "Most units one plan may count on.",
    },
    "OperationForm": {
        "id": "Id of the operation, unique in its anatomy.",
        "name": "What is done, in a few words.",
        "on": "Id of the piece that it opens.",
        "after": "Operations (by id) on the same piece that come first; each of them leaves the piece, lighter.",
        "minutes": "Minutes one takes: one number or low, likely, high.",
        "tools": "Tools it takes.",
        "gives": "All that comes out of it; the masses add up to the piece opened.",
        "cautions": "Cautions (by id) that come before it.",
        "required": "Whether it comes before any sale of the piece by grade.",
        "loss": "Largest share of the mass that may go missing, below 1.",
        "cost": "Money one run uses up.",
        "note": "What decides, to be read with one in the hand; at most 160 characters.",
    },
    "GivesForm": {"piece": "Id of a piece.", "count": "How many of it."},
    "PublishedForm": {
        "source": "Id of the source.",
        "mean_kg": "The published mean mass in kg.",
        "of": "What exactly was weighed.",
        "why": "Why our range does not hold it, where it does not.",
    },
}


class _SpelledOut(ScenarioFile):
    """The scenario file with its overlay tables in full; used only for the schema."""

    grade: list[GradeForm] = Field([], description="Grades that overlay the shipped catalogue.")  # type: ignore[assignment]
    anatomy: list[AnatomyForm] = Field([], description="Anatomies that overlay the shipped catalogue.")  # type: ignore[assignment]


def taught() -> dict[str, Any]:
    """The schema of a scenario file, each field with a title and a description."""
    schema = _SpelledOut.model_json_schema(by_alias=True)
    schema |= {"title": "partway scenario", "description": ScenarioFile.__doc__}
    for form, meanings in OVERLAYS.items():
        for field, meaning in meanings.items():
            schema["$defs"][form]["properties"][field]["description"] = meaning
    for name, form in schema["$defs"].items():
        form["title"] = name.removesuffix("Table").removesuffix("Form")
        _explain(form["properties"], schema["$defs"])
    _explain(schema["properties"], schema["$defs"])
    return schema


def _explain(fields: dict[str, Any], forms: dict[str, Any]) -> None:
    """Each field with a title and a description, and without null, which no TOML file can say."""
    for name, field in fields.items():
        choices = [choice for choice in field.pop("anyOf", ()) if choice != {"type": "null"}]
        if len(choices) == 1:
            field.update(choices[0] | field)
        elif choices:
            field["anyOf"] = choices
        field["title"] = name.replace("_", " ").capitalize()
        form = forms.get(field.get("$ref", "").rpartition("/")[2])
        if form and "description" not in field:
            field["description"] = form["description"]
        if field.get("default", 0) is None:
            del field["default"]
