"""From a guide and what was seen to its report."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from partway.catalogue.cards import cards_by_hazard
from partway.identify import Match, Rates
from partway.reports.what.identified import never_lines
from partway.reports.what.identify import GuideMatch, GuideReport
from partway.things.material import Caution, Grade
from partway.things.testkey import Guide, Never


def report_guide(
    guide: Guide,
    seen: Collection[str],
    matches: tuple[Match, ...],
    grades: Mapping[str, Grade],
    cautions: Mapping[str, Caution],
    rates: Rates,
    never: Iterable[Never],
    notes: tuple[str, ...],
) -> GuideReport:
    """The grades that agree with what was seen, and the features that would tell them apart."""
    made = [grades[match.row.grade] for match in matches]
    return GuideReport(
        guide=guide.id,
        name=guide.name,
        currency=rates.currency,
        cautions=cards_by_hazard(cautions, [(grade.name, grade.hazards) for grade in made]),
        never=never_lines(never),
        features=tuple((feature.id, feature.name) for feature in guide.features),
        seen=tuple(feature.id for feature in guide.features if feature.id in seen),
        matches=tuple(_match(match, grades[match.row.grade], rates) for match in matches),
        look_for=_look_for(guide, seen, matches),
        notes=(*(f"{f.name}: {f.spoils}." for f in guide.features if f.spoils and f.id in seen), *notes),
    )


def _match(match: Match, grade: Grade, rates: Rates) -> GuideMatch:
    rate = rates.by_grade[grade.id]
    return GuideMatch(
        grade=grade.id,
        name=grade.name,
        qualifies=grade.qualifies,
        seen=match.seen,
        to_see=match.to_see,
        whole=match.whole,
        price_low=rate.price.low,
        price=rate.price.mean,
        price_high=rate.price.high,
        how=rate.how,
        spoils=tuple(dict.fromkeys([*match.row.spoils, *grade.spoilers])),
        cautions=grade.hazards,
    )


def _look_for(guide: Guide, seen: Collection[str], matches: tuple[Match, ...]) -> tuple[str, ...]:
    """Features not seen yet that some of the grades left show and others lack."""
    if len(matches) < 2:
        return ()
    shown = {feature for match in matches for feature in match.row.shows}
    lacked = {feature for match in matches for feature in match.row.lacks}
    return tuple(f.id for f in guide.features if f.id in shown & lacked and f.id not in seen)
