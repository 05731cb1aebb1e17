"""No caution can be missed on the pages, by the rule of docs/never.md.

Wherever a hazard is named, its name stands in sight before any money, neither folded nor cut off, and its card is on
the same page; what hurts when it is lifted has its first step in sight at the curb and on the load sheet; at the step
where a thing can hurt its whole card is written. What is over and done shows none.

Walks every kind, every grade, every context, guide and calculator; what ought to be shown is worked out from the files
(named_hazards.py), never asked of the code that shows it. A page that is new fails the first test until it is put on
one of the two lists.
"""

from __future__ import annotations

import re
import time
from collections.abc import Iterable, Iterator

import named_hazards as named
import pytest
from app_client import Visitor, visitor
from named_hazards import carried, missing, squeezed, unnamed
from page_words import unfolded, words

from partway.actions.bins import bins
from partway.actions.buyers import buyers, quoting
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.home import settings
from partway.actions.recording.context import record
from partway.actions.what.identifying import identify
from partway.catalogue import shipped
from partway.ledger.events.kinds import Found
from partway.reports.calculators.own_cautions import COMMANDS
from partway.web.app import page_routers
from partway.web.pocket.shell import shell_files

KINDS = dict(named.kinds())
GRADES = dict(named.grades())
MONEY = "$"
SOON = 120.0  # seconds after which a test gives up waiting for a plan; nothing is asserted of how long it takes

SHOWN_HERE = {
    "/", "/curb/{kind}", "/bench", "/bench/{find_id}", "/bench/{find_id}/whole", "/bench/{find_id}/work",
    "/bins", "/bins/{bin_id}", "/prices/{grade}", "/prices",
    "/buyers", "/buyers/{buyer_id}", "/buyers/{buyer_id}/list", "/haul/plan/{job}", "/haul/load/{job}/{trip}",
    "/haul/{haul}", "/haul/{haul}/ticket/{buyer}", "/what/key", "/what/guide/{name}", "/cautions", "/cautions/{hazard}",
    "/in-sight", "/books/overview", *(f"/what/{name}" for name in COMMANDS),
}  # fmt: skip
OTHERS = {
    "/what": "leads on, no hazard and no money", "/place": "questions", "/place/{card}": "a question",
    "/curb": "a list of kinds; each names its first caution, and its page is one tap away",
    "/curb/unknown": "leads to the page of a kind that is a guess, or to its form again",
    "/kinds": "kinds of one's own by name, each with its cards one tap away", "/kinds/{kind}/toml": "a file",
    "/kinds/{kind}": "a form; the kind's own cards are what is ticked on it",
    "/kinds/from/{find}": "the same form, filled in",
    "/bins/new": "a form", "/bins/labels": "to print and stick on", "/buyers/new": "a form",
    "/first/thing": "kinds by name; each leads to its page", "/first/price": "one price is asked",
    "/say": "a field; what is read back shows the cards of what it names first",
    "/rounds": "places and what they earned", "/haul": "a form, and hauls by number",
    "/haul/{haul}/finish": "kilometres and minutes",
    "/haul/plan/{job}/if": "the plan's cards again, of what is done instead", "/haul/plan/{job}/now": "how far it is",
    "/haul/load/{job}/{trip}/sheet.pdf": "a file: test_load_paper.py reads its cards before its prices",
    "/papers/curb.pdf": "a file: test_curb_paper.py reads its cards before its prices",
    "/papers/prices/{buyer_id}.pdf": "a file: test_price_paper.py reads its cards before its prices",
    "/papers/origin.pdf": "a file: test_origin_paper.py reads its cards before anything else",
    "/papers/month/{month}.pdf": "what is over and done", "/papers/year/{name}": "what is over and done",
    "/papers/labels.pdf": "a file: test_label_paper.py reads its hazards",
    "/books": "what is over and done", "/books/flows": "what is over and done",
    "/books/impact": "what is over and done", "/books/year": "what is over and done", "/books/year/{name}": "a file",
    "/books/notes": "words of one's own",
    "/books/money": "money alone",
    "/books/ledger": "what is over and done", "/books/ledger/{event_id}": "what is over and done",
    "/books/conflicts": "what two devices said; each leads to the find or bin, which has its cautions",
    "/photographs/{sort}/{of}": "photographs, and a form for one more", "/photograph/{size}/{name}": "a file",
    "/bench/{find_id}/text": "test_listing_text.py looks at its cards, which stand before the text",
    "/books/export": "files", "/books/export/{form_id}": "a file", "/settings": "settings",
    "/pocket.html": "test_pocket_carries.py looks at its cautions", "/pocket/data.json": "for the page in the pocket",
    "/pocket/key.json": "for the page in the pocket", **dict.fromkeys(shell_files(), "the same for every ledger"),
    "/devices": "who has a key", "/trust": "how a phone trusts", "/trust/authority.crt": "a file", "/api": "a document",
}  # fmt: skip


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """A find of every kind, some of every hazardous grade in a bin, and a yard that pays for every grade."""
    with visitor(tmp_path_factory.mktemp("full")) as there:
        book = there.book
        for name, value in {"currency": "CAD", "unit": "kg", "wage": "5", "cost_per_km": "0.3"}.items():
            settings.set_(book, there.context(), name, value)
        buyers.buyer(book, there.context(), "ridge", buyers.Terms(kind="yard", name="ridge yard", km="9", minutes="20"))
        for grade in shipped().grades:
            quoting.quote(book, there.context(), "ridge", grade, "1.25 /kg")
        for grade in GRADES:
            bins.add_bin(book, there.context(), grade)
            bins.recount(book, there.context(), grade, 5_000_000)
        for kind in shipped().kinds:  # also one that was split, of which an old ledger has a find
            record(book, there.context(), [Found(f"{kind}-1", kind)], None)
        yield there


@pytest.fixture(scope="module")
def stocked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """Bins alone, to be planned for."""
    with visitor(tmp_path_factory.mktemp("stocked")) as there:
        book = there.book
        for name, value in {"currency": "CAD", "unit": "kg", "wage": "5", "cost_per_km": "0.3"}.items():
            settings.set_(book, there.context(), name, value)
        buyers.buyer(book, there.context(), "ridge", buyers.Terms(kind="yard", name="ridge yard", km="9", minutes="20"))
        for grade in GRADES:
            quoting.quote(book, there.context(), "ridge", grade, "1.25 /kg")
            bins.add_bin(book, there.context(), grade)
            bins.recount(book, there.context(), grade, 5_000_000)
        yield there


def unseen(page: str, hazards: Iterable[str]) -> list[str]:
    """Hazards whose name is not in sight before the first money of a page, or whose card is not there before it."""
    text, seen = words(page), words(unfolded(page))
    no_card = missing(text.replace(MONEY, f" {MONEY} ", 1), hazards, f"{MONEY} " if MONEY in text else "")
    return list(dict.fromkeys([*no_card, *unnamed(seen, hazards, MONEY)]))


def left_behind(page: str, hazards: Iterable[str]) -> list[str]:
    """Hazards of what is lifted or loaded whose first step is not written out before the first money."""
    seen = words(unfolded(page)).partition(MONEY)[0]
    return missing(seen, carried(hazards))


def lifted_unsaid(page: str, hazards: Iterable[str]) -> list[str]:
    """The same at the curb: before the button that takes the thing, so that the number stays in sight above it."""
    return missing(words(unfolded(page.partition('<button class="big">Taken')[0])), carried(hazards))


def test_every_page_shows_cautions_or_names_no_hazard() -> None:
    """One that is on neither list, or on both, was not thought about."""
    pages = {
        route.path  # type: ignore[attr-defined]
        for router in page_routers()
        for route in router.routes
        if "GET" in route.methods  # type: ignore[attr-defined]
    }
    assert pages - SHOWN_HERE - set(OTHERS) == set()
    assert SHOWN_HERE - pages == set() and SHOWN_HERE & set(OTHERS) == set()


def test_a_card_after_the_money_is_missed() -> None:
    card = shipped().cautions["nicd"]
    whole = f"<main>{card.name}: {card.first}."
    assert unseen(f"{whole} CA$5.00", ["nicd"]) == [] == unseen(whole, ["nicd"])
    assert unseen(f"<main>CA$5.00 {card.name}: {card.first}.", ["nicd"]) == ["nicd"]
    assert unseen(f"<main>{card.name} CA$5.00", ["nicd"]) == ["nicd"]


def test_a_name_that_is_folded_or_cut_off_is_missed() -> None:
    card = shipped().cautions["nicd"]
    whole = f"<p>{card.name}: {card.first}.</p>"
    named = f"<main><details><summary>Careful: {card.name}</summary>{whole}</details> CA$5.00"
    assert unseen(named, ["nicd"]) == [] and left_behind(named, ["nicd"]) == ["nicd"]
    assert unseen(f"<main><details><summary>Careful</summary>{whole}</details> CA$5.00", ["nicd"]) == ["nicd"]
    cut = named.replace(f"Careful: {card.name}", f"Careful: {card.name[:9]}")
    assert unseen(cut, ["nicd"]) == ["nicd"]
    inner = f"<main><details><summary>More</summary><details open>{whole}</details></details> CA$5.00"
    assert unseen(inner, ["nicd"]) == ["nicd"]
    assert unseen(inner.replace("<details><summary>More", "<details open><summary>More"), ["nicd"]) == []


@pytest.mark.parametrize("kind", [kind for kind in KINDS if not shipped().anatomy(kind).became])  # a split one asks
def test_the_curb_of_a_kind(full: Visitor, kind: str) -> None:
    for works in ("yes", "no", "unknown"):
        page = full.open(f"/curb/{kind}?works={works}")
        assert unseen(page, KINDS[kind]) == [] and lifted_unsaid(page, KINDS[kind]) == []


@pytest.mark.parametrize("kind", KINDS)
def test_the_bench_of_a_find(full: Visitor, kind: str) -> None:
    for path in ("", "/whole", "/work"):
        assert unseen(full.open(f"/bench/{kind}-1{path}"), KINDS[kind]) == [], path


@pytest.mark.parametrize("kind", KINDS)
def test_a_step_begins_with_its_own_cards(full: Visitor, kind: str) -> None:
    """Of the operation and of what it frees, as the file has them: before the first field of its section."""
    anatomy, page = shipped().anatomy(kind), full.open(f"/bench/{kind}-1/work")
    sections = re.findall(r'<section class="step" .*?</section>\s*(?=<section class="step"|</form>)', page, re.DOTALL)
    for section in sections:
        done = re.search(r'data-tick="open-done\.([^"]+)"', section)
        if done is None:
            continue
        operation = next(op for op in anatomy.operations if op.id == done[1])
        freed = [anatomy.piece(give.piece) for give in operation.gives]
        hazards = [*operation.cautions, *(piece.stop for piece in freed if piece.stop)]
        hazards += [h for piece in freed for sale in piece.sells for h in shipped().grades[sale.grade].hazards]
        before = words(f"<main>{section.partition('<fieldset')[0]}")
        assert missing(before, hazards) == [], (kind, operation.id)


def test_the_queue_and_the_day(full: Visitor) -> None:
    queue = full.open("/bench?hours=99&all=yes")
    assert unseen(queue, {hazard for kind in KINDS for hazard in shipped().anatomy(kind).cautions}) == []
    of_grades = {hazard for hazards in GRADES.values() for hazard in hazards}
    of_kinds = {hazard for hazards in KINDS.values() for hazard in hazards}
    assert unseen(full.open("/books/overview"), of_grades | of_kinds) == []


def test_home_names_what_can_hurt_in_all_that_its_acts_are_about(full: Visitor) -> None:
    home = full.open("/")
    acts = re.findall(r'class="act [^"]*" href="/(bench|bins)/([^"?#]+)"', home)
    about = [KINDS[what.removesuffix("-1")] if place == "bench" else GRADES[what] for place, what in acts]
    assert about
    assert unseen(home, {hazard for hazards in about for hazard in hazards}) == []


@pytest.mark.parametrize("grade", GRADES)
def test_a_bin_and_the_prices_of_a_grade(full: Visitor, grade: str) -> None:
    assert unseen(full.open(f"/bins/{grade}"), GRADES[grade]) == []
    assert unseen(full.open(f"/prices/{grade}"), GRADES[grade]) == []


def test_all_bins_all_prices_one_buyer_and_its_list(full: Visitor) -> None:
    of_grades = {hazard for hazards in GRADES.values() for hazard in hazards}
    for path in ("/bins", "/buyers", "/prices", "/buyers/ridge"):
        assert unseen(full.open(path), of_grades) == [], path
    found = full.open("/buyers?part=found&q=lead acid")
    assert missing(words(found), GRADES["lead-acid"], "1.25") == []
    typed = "lead acid batteries 0.25, no 2 copper 4.10"
    page = full.fill("/buyers/ridge/list", "/buyers/ridge/list", text=typed, step="look").text
    assert missing(words(page), GRADES["lead-acid"], "0.25") == []


def test_a_plan_its_load_the_haul_and_the_ticket(stocked: Visitor) -> None:
    of_grades = {hazard for hazards in GRADES.values() for hazard in hazards}
    answer = stocked.fill("/haul", "/haul", away="8", payload="2000 kg", volume="90000 L")
    path, end = str(answer.url.path), time.monotonic() + SOON
    while not stocked.client.get(f"{path}/now").json()["over"]:
        assert time.monotonic() < end
        time.sleep(0.02)
    plan = stocked.open(path)
    assert "ridge yard" in plan and unseen(plan, of_grades) == []
    load = stocked.open(f"{path.replace('/plan/', '/load/')}/1")
    assert unseen(load, of_grades) == [] and left_behind(load, of_grades) == []
    haul = str(stocked.fill(path, f"{path}/accept/1").url.path)
    assert unseen(stocked.open(haul), of_grades) == [] and left_behind(stocked.open(haul), of_grades) == []
    assert unseen(stocked.open(f"{haul}/ticket/ridge"), of_grades) == []
    stocked.fill(f"{haul}/finish", f"{haul}/finish", km="18", minutes="50")
    for past in (haul, f"{haul}/ticket/ridge"):
        assert 'class="cautions"' not in stocked.open(past), past


# --- What is it? -------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", COMMANDS)
def test_a_calculator_begins_with_its_cards(full: Visitor, name: str) -> None:
    text = squeezed(words(full.open(f"/what/{name}"))).partition("more, if you know it")[0]
    assert missing(text, COMMANDS[name]) == []


@pytest.mark.parametrize("context", shipped().key.contexts)
def test_the_key_after_every_first_answer(full: Visitor, context: str) -> None:
    """The cards of what it may be, of the tests that are proposed and of the bin, before a word of money."""
    key = shipped().key
    scenario = scenario_from_book(full.book, full.app.state.partway.setup.clock().date(), counting=False, waiting={})
    for test in [None, *key.contexts[context].tests]:
        if test is not None and key.tests[test].needs:
            continue
        for answer in [a for a, _ in key.tests[test].answers] if test else [""]:
            it = identify(scenario, context, {test: answer} if test else {})
            hazards = [h for m in it.materials if m.chance >= 0.01 for h in key.materials[m.material].cautions]
            hazards += [h for line in it.tests for h in key.tests[line.test].cautions]
            hazards += shipped().grades[it.bin].hazards if it.bin else ()
            page = full.open(f"/what/key?context={context}" + (f"&answer={test}={answer}" if test else ""))
            assert unseen(page, hazards) == [], (context, test, answer)
            never = squeezed(words(page)).partition(MONEY)[0]
            assert all(squeezed(f"Never {one.what}") in never or squeezed(one.why) in never for one in key.never)


@pytest.mark.parametrize("guide", shipped().key.guides)
def test_a_guide_with_what_each_grade_shows(full: Visitor, guide: str) -> None:
    for row in shipped().key.guides[guide].rows:
        page = full.client.get(f"/what/guide/{guide}", params=[("feature", f) for f in row.shows]).text
        assert unseen(page, shipped().grades[row.grade].hazards) == []


@pytest.mark.parametrize("hazard", shipped().cautions)
def test_a_card_is_one_tap_away_wherever_it_stands(full: Visitor, hazard: str) -> None:
    """From the page of a kind, a find, a bin or a calculator that shows it."""
    kind = next((kind for kind, hazards in KINDS.items() if hazard in hazards), None)
    grade = next((grade for grade, hazards in GRADES.items() if hazard in hazards), None)
    tool = next((name for name, hazards in COMMANDS.items() if hazard in hazards), None)
    pages = [f"/curb/{kind}", f"/bench/{kind}-1"] if kind else []
    pages += [f"/bins/{grade}"] if grade else []
    pages += [f"/what/{tool}"] if tool else []
    card = shipped().cautions[hazard]
    for path in pages:
        page = full.open(path)
        assert f'href="/cautions/{hazard}"' in page, path
        text = squeezed(words(page))
        assert squeezed(card.licensed) in text and squeezed(card.rule) in text, path
