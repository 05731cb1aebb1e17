"""How often a piece that is asked about turns out to be what: recorded where somebody looked, learned, counted on."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from ledger_day import Day

from partway.actions.bench import finds
from partway.actions.bench.answering import AnswerGiven, answer_given
from partway.actions.bench.depths import depth
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.buyers import buyers
from partway.actions.buyers.quoting import quote
from partway.actions.haul.scenario import scenario_from_book
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger.events.kinds import AnswerSeen, Opened
from partway.ledger.fold.fold import fold
from partway.ledger.memory import MemoryBook
from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.search.search import search
from partway.things.anatomy import Anatomy
from partway.valuing.known import catalogue_of
from partway.valuing.learned.seen import KindSeen
from partway.valuing.learned.shares import ANSWERS, with_shares

FAN = shipped().anatomy("fan")


def share(anatomy: Anatomy, answer: str) -> float:
    """How many of those asked about are so."""
    piece = anatomy.piece(answer)
    assert piece.answer_to is not None
    return piece.share / anatomy.piece(piece.answer_to).share


def opened(day: Day, *pieces: PieceGiven, answers: tuple[str, ...] = (), ops: tuple[str, ...] = ("motor-out",)) -> str:
    """A fan is opened as far as that; its id."""
    name: str = day.do(finds.find, "fan", works="no").result.find
    day.do(open_up, name, pieces, ops, gap="left", answers=[answer_given(text) for text in answers])
    return name


def seen(day: Day) -> list[tuple[str, str, int]]:
    """All answers in the ledger."""
    events = [event.what for event in day.book.events(("opened",))]
    return [(a.piece, a.answer, a.count) for what in events if isinstance(what, Opened) for a in what.answers]


# --- recorded ----------------------------------------------------------------------------------------


def test_a_piece_named_by_its_answer_was_looked_at() -> None:
    day = Day(unit="kg")
    opened(day, PieceGiven("motor.copper", "1.4 kg"))
    assert seen(day) == [("motor", "copper", 1)]


def test_a_piece_at_which_nobody_looked_says_nothing_whatever_its_grade() -> None:
    day = Day(unit="kg")
    opened(day, PieceGiven("motor", "1.4 kg"))
    opened(day, PieceGiven("motor", "1.4 kg", grade="motors-al"))
    assert seen(day) == []


def test_an_answer_is_said_by_its_id_or_in_words_and_counts_what_is_there() -> None:
    day = Day(unit="kg")
    opened(day, answers=("motor=copper",))
    opened(day, answers=("Motor = Wound with aluminium",))
    name = day.do(finds.find, "fan", count=3, works="no").result.find
    day.do(open_up, name, [], ["motor-out"], gap="left", count=3, answers=[AnswerGiven("motor", "copper", 2)])
    assert seen(day) == [("motor", "copper", 1), ("motor", "aluminium", 1), ("motor", "copper", 2)]


def test_what_was_said_outranks_what_follows_from_a_name() -> None:
    day = Day(unit="kg")
    opened(day, PieceGiven("motor.copper", "1.4 kg"), answers=("motor=aluminium",))
    assert seen(day) == [("motor", "aluminium", 1)]


def test_work_that_only_one_answer_has_says_it_once() -> None:
    day = Day(unit="kg")
    name = opened(day, answers=("motor=copper",))
    day.do(open_up, name, [], ["motor.copper.unscrew"], gap="left")
    assert seen(day) == [("motor", "copper", 1)]
    opened(day, ops=("motor-out", "motor.copper.unscrew"))
    assert seen(day)[1:] == [("motor", "copper", 1)]


@pytest.mark.parametrize(
    ("text", "given", "expected"),
    [
        ("motor", '"motor"', "PIECE=ANSWER"),
        ("0x motor=copper", '"0x motor=copper"', "PIECE=ANSWER"),
        ("cord=copper", '"cord"', "a piece that is asked about: motor"),
        ("motor=silver", "silver", "copper"),
        ("2x motor=copper", "2 × motor", "at most 1"),
        ("wheel=copper", "wheel", "piece of"),
    ],
)
def test_what_nobody_asks_is_refused(text: str, given: str, expected: str) -> None:
    day = Day(unit="kg")
    name = day.do(finds.find, "fan", works="no").result.find
    before = day.book.state
    with pytest.raises(Refused) as refused:
        open_up(day.book, day.context(), name, [], ["motor-out"], gap="left", answers=[answer_given(text)])
    assert given in str(refused.value) and expected in str(refused.value)
    assert day.book.state == before


# --- learned -----------------------------------------------------------------------------------------


def test_answers_count_against_eight_of_the_catalogue_s() -> None:
    """(8 x 0.4 + 6) / 14 by hand: Bayesian Data Analysis, 3rd ed., section 3.4."""
    learned = with_shares(FAN, KindSeen(answers=(("motor", "copper", 6),)))
    assert ANSWERS == 8.0 and share(FAN, "motor.copper") == pytest.approx(0.4)
    assert share(learned, "motor.copper") == pytest.approx(9.2 / 14.0)
    assert share(learned, "motor.aluminium") == pytest.approx(4.8 / 14.0)
    one = learned.learned_of("share", "motor.copper")
    assert one is not None and one.count == 6 and one.was.likely == pytest.approx(0.4)
    assert one.now.likely == pytest.approx(9.2 / 14.0)
    # mean p and variance p (1 - p) / (8 + 6 + 1) of a beta distribution; 1.28155 of its root on either side
    assert one.now.high - one.now.low == pytest.approx(2 * 1.2815515655 * math.sqrt(9.2 * 4.8 / 14.0**2 / 15.0))


def test_every_question_s_answers_stay_all_of_them_and_what_comes_out_of_one_goes_along() -> None:
    asked = 0
    for anatomy in shipped().all_anatomies():
        for op in anatomy.operations:
            if not op.asks:
                continue
            asked += 1
            first = anatomy.answers_to(op.on)[0]
            learned = with_shares(anatomy, KindSeen(answers=((op.on, first.id.removeprefix(f"{op.on}."), 5),)))
            answers = [piece.id for piece in anatomy.answers_to(op.on)]
            assert math.fsum(share(learned, answer) for answer in answers) == pytest.approx(1.0)
            assert share(learned, first.id) > share(anatomy, first.id)
            for piece in anatomy.pieces:
                behind = anatomy.answer_of(piece.id)
                if behind is not None and piece.answer_to is None:
                    same = learned.piece(behind.id).share / behind.share
                    assert learned.piece(piece.id).share == pytest.approx(piece.share * same)
    assert asked > 40


def test_nothing_seen_and_answers_that_the_catalogue_does_not_know_leave_it_as_it_is() -> None:
    assert with_shares(FAN, KindSeen()) is FAN
    assert with_shares(FAN, KindSeen(answers=(("motor", "silver", 9), ("wheel", "copper", 2)))) is FAN


def copper_fans(times: int = 6) -> Day:
    """Motors that turned out to be wound with copper, and a fan that waits."""
    day = Day(unit="kg")
    day.do(buyers.buyer, "harbour-yard", buyers.Terms(kind="yard", km="5", minutes="10"))
    for grade, price in (("motors", "2.40 /kg"), ("motors-al", "0.60 /kg"), ("light-iron", "0.20 /kg")):
        day.do(quote, "harbour-yard", grade, price)
    for _ in range(times):
        opened(day, answers=("motor=copper",))
    day.do(finds.find, "fan", works="no")
    return day


def test_depth_and_plan_count_on_it_and_the_plan_passes_its_check() -> None:
    day, before = copper_fans(), copper_fans(0)
    scenario, was = (scenario_from_book(it.book, it.now.date()) for it in (day, before))
    assert share(scenario.anatomies["fan"], "motor.copper") == pytest.approx(9.2 / 14.0)
    waiting = replace(scenario, finds=was.finds)
    assert depth(scenario, "fan", "no").value > depth(was, "fan", "no").value
    worth = []
    for it in (waiting, was):
        instance = build(it)
        worth.append(verify(instance, search(instance, 20.0).decision).money.total)
    assert worth[0] > worth[1]


def test_the_order_in_which_two_ledgers_came_together_makes_no_difference() -> None:
    """One person saw copper, another aluminium, on finds that they both called by the same names."""
    one, other = copper_fans(3), Day(unit="kg")
    for _ in range(4):
        opened(other, answers=("motor=aluminium",))
    mine, theirs = list(one.book.events()), list(other.book.events())
    learned = [
        catalogue_of(MemoryBook(fold(events))).anatomy("fan")
        for events in ([*mine, *theirs], [*theirs, *mine], [*reversed(mine), *theirs])
    ]
    assert learned[0] == learned[1] == learned[2]
    assert learned[0].learned == learned[1].learned == learned[2].learned
    here = learned[0].learned_of("share", "motor.copper")
    assert here is not None and here.count == 7


def test_an_event_without_answers_is_written_as_it_was_before_there_were_any() -> None:
    from partway.ledger.events.shapes import payload_text

    assert "answers" not in payload_text(Opened("f1", (), 0))
    assert '"answers":[{"answer":"copper","count":2,"piece":"motor"}]' in payload_text(
        Opened("f1", (), 0, answers=(AnswerSeen("motor", "copper", 2),))
    )
