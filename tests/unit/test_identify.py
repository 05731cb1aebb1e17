"""The posterior against independent ones, learning against the exact Dirichlet, and what may never be proposed."""

from __future__ import annotations

import itertools
import math
import random
import re
import tomllib
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from drawn_pieces import case_of, drawn
from scipy import stats

from partway.actions.what.identifying import identify
from partway.catalogue import shipped
from partway.catalogue.shipped import DATA
from partway.errors import Refused
from partway.identify import ASIDE, NOT_SURE, Answer, Case, Measured, read_answers, shares, table
from partway.identify.intervals import interval_chances

CONTEXTS = ("loose", "screws", "wire", "components", "taps", "plastics")
KEY = shipped().key


def tables(name: str) -> dict[str, Any]:
    """A file of the key as it is written: nothing of ours has read it."""
    return tomllib.loads((DATA / "identify" / name).read_text(encoding="utf-8"))


ROWS = {m["id"]: m for file in ("metals.toml", "plastics.toml") for m in tables(file)["material"]}
SHARES = {c["id"]: c["shares"] for c in tables("contexts.toml")["context"]}
ANSWERS = {t["id"]: [a["id"] for a in t["answers"]] for t in tables("tests.toml")["test"]}


def some_answers(case: Case, rng: random.Random) -> dict[str, Answer]:
    """Answers of a drawn piece to some of the tests that may be asked, in some order, now and then not sure."""
    piece, given = drawn(case, rng), dict[str, Answer]()
    for _ in range(rng.randint(0, len(case.tests))):
        open_ = [test for test in case.tests if case.may_ask(test, given)]
        if open_:
            test = rng.choice(open_)
            given[test] = NOT_SURE if rng.random() < 0.15 else piece.says[test]
    return given


# --- the posterior -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("context", CONTEXTS)
def test_chances_sum_to_one_whatever_was_answered(context: str) -> None:
    case, rng = case_of(context), random.Random(1)
    for _ in range(200):
        chances = case.posterior(some_answers(case, rng))
        assert sum(chances.values()) == pytest.approx(1.0, abs=1e-12)
        assert all(0.0 < chance < 1.0 for chance in chances.values())


@pytest.mark.parametrize("context", CONTEXTS)
def test_the_order_of_the_same_answers_changes_nothing_at_all(context: str) -> None:
    case, rng = case_of(context), random.Random(2)
    for _ in range(60):
        given = list(some_answers(case, rng).items())
        shuffled = rng.sample(given, len(given))
        assert case.posterior(dict(shuffled)) == case.posterior(dict(given))
        assert case.proposals(dict(shuffled)) == case.proposals(dict(given))


def exact_row(material: str, test: str) -> list[Fraction]:
    """A row in exact fractions with its hundredth spread; flat where nothing is known."""
    count = len(ANSWERS[test])
    row = ROWS[material]["rows"].get(test, [Fraction(100, count)] * count)
    return [Fraction(99, 100) * Fraction(x) / 100 + Fraction(1, 100 * count) for x in row]


@pytest.mark.parametrize(
    ("context", "tests"),
    [("wire", ("look", "magnet", "drag", "colour")), ("plastics", ("mark", "float-water", "float-brine", "acetone"))],
)
def test_the_posterior_is_that_of_the_whole_joint_table(context: str, tests: tuple[str, ...]) -> None:
    """Enumeration in exact fractions: every material with every combination of answers, then those that agree."""
    case = case_of(context)
    joint = {
        (material, *said): Fraction(str(share)) / 100
        * math.prod(exact_row(material, test)[ANSWERS[test].index(a)] for test, a in zip(tests, said, strict=True))
        for material, share in SHARES[context].items()
        for said in itertools.product(*(ANSWERS[test] for test in tests))
    }  # fmt: skip
    assert sum(joint.values()) == 1
    rng = random.Random(3)
    for _ in range(60):
        given = {test: rng.choice(ANSWERS[test]) for test in tests if rng.random() < 0.7}
        agree = {
            cell: chance
            for cell, chance in joint.items()
            if all(cell[1 + tests.index(test)] == answer for test, answer in given.items())
        }
        whole = sum(agree.values())
        for material, chance in case.posterior(dict(given)).items():
            exact = sum((c for cell, c in agree.items() if cell[0] == material), Fraction(0)) / whole
            assert chance == pytest.approx(float(exact), rel=1e-11, abs=1e-15)


def test_weight_in_hand_is_a_log_normal_judgement_of_density() -> None:
    """By scipy's log-normal: the hand is off by 0.22 of the logarithm, pieces by their spread."""
    test = KEY.tests["weight"]
    for name, row in ROWS.items():
        if "density" in row:
            sd = math.hypot(0.22, row["spread"])
            below = stats.lognorm.cdf([2.2, 4.8, 9.9], sd, scale=row["density"])
            expected = np.diff(np.concatenate([[0.0], np.asarray(below), [1.0]]))
            assert table(test, KEY.materials[name]) == pytest.approx(expected, abs=1e-12)


def test_a_measured_density_is_weighed_with_both_uncertainties() -> None:
    """By scipy's normal density, with a hundredth left to anything from 0.2 to 25 g/cm3."""
    case = case_of("taps")
    given: dict[str, Answer] = {"density": Measured(6.7, 0.15)}
    weights = {}
    for material, share in SHARES["taps"].items():
        row = ROWS[material]
        sd = math.hypot(row["density"] * row["spread"], 0.15)
        weights[material] = share * (0.99 * stats.norm.pdf(6.7, row["density"], sd) + 0.01 / 24.8)
    total = sum(weights.values())
    expected = {material: weight / total for material, weight in weights.items()}
    assert case.posterior(given) == pytest.approx(expected, rel=1e-9)
    assert max(expected, key=expected.__getitem__) == "chrome-zinc"


def test_a_density_not_measured_yet_may_come_to_say_anything_by_scipy() -> None:
    """The chance of each interval: scipy's normal distribution function, and the hundredth by length."""
    edges = np.geomspace(0.2, 25.0, 49)
    below = np.asarray(stats.norm.cdf(edges, 8.45, 8.45 * math.hypot(0.03, 0.015)))
    below[0], below[-1] = 0.0, 1.0
    expected = 0.99 * np.diff(below) + 0.01 * np.diff(edges) / 24.8
    assert interval_chances(0.03, 8.45, 0.015) == pytest.approx(expected, abs=1e-12)
    assert sum(interval_chances(0.03, 8.45, 0.015)) == pytest.approx(1.0)
    assert sum(interval_chances(0.03, None, 0.015)) == pytest.approx(1.0)


@pytest.mark.parametrize("material", ["copper", "brass-yellow", "al-sheet", "lead", "zinc", "pewter", "stainless-304"])
def test_densities_of_the_key_are_those_of_the_metals(material: str) -> None:
    """By periodictable for elements; C36000 8.49, zinc alloy AG40A 6.6, 304 8.00: from memory."""
    import periodictable

    elements = {"copper": "Cu", "al-sheet": "Al", "lead": "Pb", "pewter": "Sn"}
    known = {"brass-yellow": 8.49, "zinc": 6.6, "stainless-304": 8.00}
    expected = known.get(material) or getattr(periodictable, elements[material]).density
    assert KEY.materials[material].density == pytest.approx(expected, rel=0.02)


# --- what the trade knows: common practice, no source ----------------------------------------------------------


@pytest.mark.parametrize(
    ("context", "answers", "bin_"),
    [
        ("screws", {"magnet": "strong"}, "light-iron"),  # a magnetic screw is priced as iron
        ("screws", {"look": "grey", "magnet": "none", "colour": "white"}, "stainless-304"),
        ("wire", {"look": "grey", "magnet": "none", "colour": "red"}, "copper-2"),  # tinned: red once filed
        ("taps", {"look": "bright", "magnet": "none", "colour": "yellow"}, "brass-taps"),
        ("taps", {"look": "bright", "magnet": "none", "colour": "grey", "ring": "dull"}, "zinc-diecast"),
        ("loose", {"look": "yellow", "magnet": "none", "weight": "iron"}, "brass-yellow"),
        ("loose", {"look": "grey", "magnet": "none", "density": "11.2"}, "lead-soft"),
        ("plastics", {"float-water": "floats"}, "plastics-pp-pe"),
    ],
)
def test_the_bin_is_the_one_a_scrapper_would_take(context: str, answers: dict[str, str], bin_: str) -> None:
    assert identify(None, context, answers).bin == bin_


# --- not sure ------------------------------------------------------------------------------------------------


def test_not_sure_says_nothing_and_is_not_asked_again() -> None:
    case = case_of("loose")
    given: dict[str, Answer] = {"look": "grey"}
    unsure: dict[str, Answer] = {**given, "magnet": NOT_SURE}
    assert case.posterior(unsure) == pytest.approx(case.posterior(given), rel=1e-12)
    assert "magnet" in {p.test for p in case.proposals(given)}
    assert not {"magnet", "drag"} & {p.test for p in case.proposals(unsure)}
    why = {line.test: line.why for line in identify(None, "loose", {"look": "grey", "magnet": "not-sure"}).not_now}
    assert why["magnet"] == "asked; not sure"


# --- the stated dependence -------------------------------------------------------------------------------------


@pytest.mark.parametrize("magnet", ["strong", "weak", NOT_SURE, None])
def test_drag_is_asked_only_where_the_magnet_does_not_stick(magnet: str | None) -> None:
    case = case_of("loose")
    given: dict[str, Answer] = {"look": "grey"}
    if magnet is not None:
        given["magnet"] = magnet
    assert not case.may_ask("drag", given)
    said = {"drag": "strong"} | ({} if magnet is None else {"magnet": magnet})
    with pytest.raises(Refused, match="magnet=none"):
        read_answers(KEY, KEY.contexts["loose"], said)
    assert case.may_ask("drag", {"look": "grey", "magnet": "none"})


@pytest.mark.parametrize(
    ("answers", "given", "expected"),
    [
        ({"magnet": "stong"}, "stong", 'did you mean "strong"'),
        ({"magnets": "strong"}, "magnets", 'did you mean "magnet"'),
        ({"acid": "fizzes"}, "acid", "a known test for loose"),
        ({"density": "heavy"}, "heavy", "from 0.2 to 25"),
        ({"density": "0"}, "0", "from 0.2 to 25"),
        ({"density": "8.4+-9"}, "8.4+-9", "from 0.2 to 25"),
        ({"density": "84"}, "84", "from 0.2 to 25"),
        ({"mark": "abs"}, "mark", "a known test for loose"),
    ],
)
def test_what_is_no_answer_is_refused(answers: dict[str, str], given: str, expected: str) -> None:
    with pytest.raises(Refused) as caught:
        read_answers(KEY, KEY.contexts["loose"], answers)
    assert given in caught.value.given
    assert expected in caught.value.expected
    assert caught.value.field == "answer"


@pytest.mark.parametrize("text", ["8.4+-0.2", "8.4 +- 0.2", "8.4±0.2", "8.4+/-0.2 g/cm3"])
def test_a_density_is_read_with_its_range(text: str) -> None:
    assert read_answers(KEY, KEY.contexts["loose"], {"density": text}) == {"density": Measured(8.4, 0.2)}


# --- learning ------------------------------------------------------------------------------------------------


def test_priors_are_the_mean_of_the_exact_dirichlet_posterior() -> None:
    rng = np.random.default_rng(4)
    for context in CONTEXTS:
        where, raw = KEY.contexts[context], SHARES[context]
        counts = {name: int(n) for name, n in zip(raw, rng.integers(0, 30, len(raw)), strict=True)}
        alpha = np.array([where.weight * share / 100.0 + counts[name] for name, share in raw.items()])
        expected = dict(zip(raw, stats.dirichlet(alpha).mean(), strict=True))
        assert shares(KEY, where, counts) == pytest.approx(expected, rel=1e-12)


def test_learning_piece_by_piece_is_the_dirichlet_multinomial() -> None:
    """The chance of a whole sequence, one prediction after another, times its orders: scipy's own distribution."""
    where, raw = KEY.contexts["taps"], SHARES["taps"]
    sequence = ["chrome-zinc"] * 3 + ["chrome-brass"] * 2 + ["chrome-zinc", "ceramic"]
    counts: dict[str, int] = {}
    log_chance = 0.0
    for name in sequence:
        log_chance += math.log(shares(KEY, where, counts)[name])
        counts[name] = counts.get(name, 0) + 1
    n = [counts.get(name, 0) for name in raw]
    orders = math.lgamma(sum(n) + 1) - sum(math.lgamma(x + 1) for x in n)
    alpha = [where.weight * share / 100.0 for share in raw.values()]
    assert log_chance + orders == pytest.approx(
        stats.dirichlet_multinomial.logpmf(n, alpha, np.array(sum(n))), rel=1e-10
    )


def test_a_material_confirmed_where_nobody_expected_it_is_learned() -> None:
    where = KEY.contexts["wire"]
    assert "titanium" not in where.shares
    learned = shares(KEY, where, {"titanium": 2})
    assert learned["titanium"] == pytest.approx(2.0 / (where.weight + 2.0))
    assert sum(learned.values()) == pytest.approx(1.0)
    assert "abs" not in shares(KEY, where, {"abs": 5}), "plastics are not counted among metals"


# --- what must never be proposed ---------------------------------------------------------------------------------

HARMFUL = re.compile(r"\b(acid|vinegar|burn|flame|torch|melt|spark|grind|drill|break|snap|hammer|saw)", re.IGNORECASE)
ON_BRITTLE = {"file", "scratch", "tap"}


def states(case: Case) -> dict[tuple[tuple[str, str], ...], dict[str, Answer]]:
    """Every state there is: all answers, not sure among them, to all tests that may be asked, in any order.

    Weight and density are left out: no row of theirs can rule a material out, which the last lines make sure of.
    """
    found: dict[tuple[tuple[str, str], ...], dict[str, Answer]] = {}
    todo: list[tuple[tuple[str, str], ...]] = [()]
    while todo:
        state = todo.pop()
        if state in found:
            continue
        given: dict[str, Answer] = dict(state)
        found[state] = given
        for name, test in case.tests.items():
            if name not in ("weight", "density") and case.may_ask(name, given):
                said = [answer for answer, _ in test.answers]
                todo += [tuple(sorted([*state, (name, answer)])) for answer in (*said, NOT_SURE)]
    for given in list(found.values())[::50]:
        judged: dict[str, Answer] = {**given, "weight": "lead", "density": Measured(8.9, 0.1)}
        assert all(case.may_ask(n, judged) == case.may_ask(n, given) for n in case.tests if n not in judged)
    return found


def excluded(material: str, given: dict[str, Answer]) -> bool:
    """Whether an answer comes from one piece in a hundred or fewer of a material, by the file itself."""
    rows = ROWS[material]["rows"]
    return any(
        rows[test][ANSWERS[test].index(answer)] <= 1
        for test, answer in given.items()
        if test in rows and isinstance(answer, str) and answer != NOT_SURE
    )


@pytest.mark.parametrize("context", [c for c in CONTEXTS if c != "plastics"])
def test_no_state_lets_ceramic_be_filed_or_struck(context: str) -> None:
    case = case_of(context)
    every = states(case)
    assert len(every) > 1000
    may_file = 0
    for given in every.values():
        for name, test in case.tests.items():
            if test.does in ON_BRITTLE and case.may_ask(name, given):
                may_file += 1
                assert excluded("ceramic", given), given
                if test.does != "tap":
                    assert excluded("ferrite", given), given
    assert may_file > 100, "or the walk proves nothing"


@pytest.mark.parametrize("context", ["screws", "wire", "plastics"])
def test_what_is_proposed_in_every_state_is_harmless(context: str) -> None:
    case = case_of(context)
    proposed = set()
    for given in states(case).values():
        for proposal in case.proposals(given):
            assert case.may_ask(proposal.test, given)
            for answer, after in proposal.then.items():
                assert case.may_ask(after, {**given, proposal.test: answer})
            proposed |= {proposal.test, *proposal.then.values()}
    assert proposed
    for name in proposed:
        test = KEY.tests[name]
        assert test.does in {"look", "magnet", "heft", "slide", "scratch", "file", "meter", "tap", "water", "solvent"}
        assert not HARMFUL.search(f"{test.id} {test.name} {test.ask}")


def test_no_test_of_the_key_tells_anybody_to_hurt_a_piece_or_themselves() -> None:
    for test in KEY.tests.values():
        assert not HARMFUL.search(f"{test.id} {test.name} {test.ask}"), test.id
    said = " ".join(never.what for never in KEY.never)
    assert all(word in said for word in ("acid", "burning", "sparking", "white metal", "filing", "ceramic"))


@pytest.mark.parametrize("look", ["stone", NOT_SURE, None])
def test_a_thousand_confirmed_pieces_do_not_make_the_next_one_safe_to_file(look: str | None) -> None:
    case = case_of("components", confirmed={"copper": 100_000})
    given: dict[str, Answer] = {"magnet": "none"}
    if look is not None:
        given["look"] = look
    assert case.posterior(given)["ceramic"] < 0.01
    assert not case.may_ask("colour", given)
    assert not case.may_ask("hardness", given)
    assert case.may_ask("colour", {"magnet": "none", "look": "red"})


def test_a_key_without_its_bars_would_be_found_out() -> None:
    """The walk above can fail: without the bars, ceramic would be filed."""
    from dataclasses import replace

    bare = {name: replace(test, bars=()) for name, test in KEY.tests.items()}
    case = case_of("components")
    unbarred = replace(case, key=replace(KEY, tests=bare))
    given: dict[str, Answer] = {"look": NOT_SURE, "magnet": "none"}
    assert unbarred.may_ask("colour", given)
    assert not excluded("ceramic", given)
    assert not case.may_ask("colour", given)


# --- the report ------------------------------------------------------------------------------------------------


def test_what_a_wrong_bin_costs_is_said_of_each_bin() -> None:
    report = identify(None, "taps", {"look": "bright", "magnet": "none", "colour": "yellow"}, 1.0)
    brass = report.bins[0]
    assert (report.bin, brass.grade) == ("brass-taps", "brass-taps")
    assert 0.5 < brass.right < 1.0
    assert brass.loses > 0.0
    assert brass.worst in {line.material for line in report.materials if line.grade != "brass-taps"}
    knowing = sum((1.0 - line.right) * line.loses for line in report.bins[:1])
    assert report.perfect == pytest.approx(knowing), "all that can be lost is what the wrong bins lose"


def test_without_quotes_money_is_in_copper_and_says_so() -> None:
    report = identify(None)
    assert report.currency is None
    assert any("No. 2 copper" in note and "ratios" in note for note in report.notes)
    assert any("mass not given" in note for note in report.notes)
    assert report.mass_kg == 0.5


def test_what_no_grade_takes_is_set_aside_and_said() -> None:
    said = {"look": "grey", "magnet": "none", "drag": "none", "density": "4.5+-0.05", "weight": "aluminium"}
    report = identify(None, "loose", said)
    titanium = next(line for line in report.materials if line.material == "titanium")
    assert report.materials[0] == titanium
    assert titanium.grade is None
    assert any("Titanium" in note for note in report.notes)
    assert report.bin is None


def test_setting_aside_is_the_last_bin_of_every_case() -> None:
    for context in CONTEXTS:
        assert case_of(context).bins.grades[-1] == ASIDE


def test_more_mass_is_more_money_and_the_same_bin() -> None:
    small, large = (identify(None, "taps", {"look": "bright"}, kg) for kg in (0.2, 2.0))
    assert large.bin == small.bin
    assert [line.expected * 10 for line in small.bins] == pytest.approx([line.expected for line in large.bins])
    assert large.perfect == pytest.approx(10 * small.perfect)


@pytest.mark.parametrize("mass", [0.0, -1.0])
def test_no_mass_is_refused(mass: float) -> None:
    with pytest.raises(Refused, match="mass: got"):
        identify(None, "taps", {}, mass)


@pytest.mark.parametrize("context", ["tap", "", "boards"])
def test_an_unknown_context_is_refused(context: str) -> None:
    with pytest.raises(Refused, match="context: got"):
        identify(None, context)


# --- plated brass among components ---------------------------------------------------------------------------


@pytest.mark.parametrize("look", ["bright", "grey"])
def test_a_white_component_that_files_yellow_is_plated_brass(look: str) -> None:
    """Pins, terminals and spacers of boards are brass under nickel or tin; they were taken for plain brass."""
    case = case_of("components")
    answers: dict[str, Answer] = {"look": look, "magnet": "none", "drag": "weak"}
    before = case.posterior(answers)
    after = case.posterior(answers | {"colour": "yellow"})
    assert before["plated-brass"] > 0.1
    assert max(after, key=after.__getitem__) == "plated-brass" and after["plated-brass"] > 0.6
    assert after["plated-brass"] > 3 * after["brass-yellow"]
    assert KEY.materials["plated-brass"].grades[0] == "brass-taps"
