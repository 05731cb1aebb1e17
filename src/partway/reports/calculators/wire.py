"""Insulated wire: what it holds, how sure that is, and whether stripping it pays."""

from __future__ import annotations

from dataclasses import dataclass

from partway.catalogue.cards import shipped_cards
from partway.formulas import stripping
from partway.formulas.stripping import StrippingTerms
from partway.quantities import format_price_in, kg_per
from partway.reports.calculators.answer import Answer, AnswerRow, figure, spread
from partway.reports.calculators.own_cautions import WIRE


@dataclass(frozen=True, slots=True)
class Conductor:
    """What the size says of all conductors together; `least` where a size promises no more than a resistance."""

    size: str
    conductors: int
    area_mm2: float
    least_mm2: float
    copper_g_per_m: float
    least_g_per_m: float
    ohm_per_km_each: float


@dataclass(frozen=True, slots=True)
class Recovery:
    """Metal share of the mass, 0 to 1, by one way of finding it (size, length or samples)."""

    way: str
    low: float
    likely: float
    high: float
    note: str


@dataclass(frozen=True, slots=True)
class Stripping:
    """Per kg of insulated wire. `answer`: strip, sell, close (the range of the recovery holds both) or by-the-hour.

    `per_hour` is what an hour of stripping brings, wage not taken off. Break-evens are null where there is none.
    """

    answer: str
    gain: float
    gain_low: float
    gain_high: float
    per_hour: float | None
    minutes: float
    wage: float | None
    break_even_bare: float
    break_even_insulated: float
    break_even_minutes: float | None
    break_even_recovery: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire(Answer):
    """The best known recovery is `recovery`, null where nothing given says it."""

    conductor: Conductor | None
    recovery: Recovery | None
    ways: tuple[Recovery, ...]
    stripping: Stripping | None
    currency: str | None


@dataclass(frozen=True, slots=True)
class Prices:
    """Prices per kg, minutes per kg, the wage where one was given, and the unit and currency they are shown in."""

    bare: float
    insulated: float
    minutes: float
    wage: float | None
    residue_cost: float
    unit: str
    currency: str | None


def strip_or_sell(recovery: Recovery, prices: Prices) -> Stripping:
    """The decision over the range of the recovery; without a wage only what an hour brings is known."""
    low, likely, high = (_terms(share, prices) for share in (recovery.low, recovery.likely, recovery.high))
    ends = [stripping.gain_of_stripping(terms) for terms in (low, high)]
    answer = "strip" if min(ends) > 0 else "sell" if max(ends) <= 0 else "close"
    return Stripping(
        answer=answer if prices.wage is not None else "by-the-hour",
        gain=stripping.gain_of_stripping(likely),
        gain_low=min(ends),
        gain_high=max(ends),
        per_hour=stripping.break_even_wage(likely),
        minutes=prices.minutes,
        wage=prices.wage,
        break_even_bare=stripping.break_even_bare(likely),
        break_even_insulated=stripping.break_even_insulated(likely),
        break_even_minutes=stripping.break_even_minutes(likely),
        break_even_recovery=stripping.break_even_recovery(likely),
    )


def _terms(share: float, prices: Prices) -> StrippingTerms:
    return StrippingTerms(share, prices.bare, prices.insulated, prices.minutes, prices.wage or 0.0, prices.residue_cost)


def report_wire(
    conductor: Conductor | None, ways: tuple[Recovery, ...], prices: Prices | None, notes: tuple[str, ...]
) -> Wire:
    """The answer in words and figures; the last of `ways` is the best known."""
    best = ways[-1] if ways else None
    decided = strip_or_sell(best, prices) if best and prices else None
    rows = [*_conductor_rows(conductor), *(_way_row(way) for way in ways), *_money_rows(decided, prices)]
    return Wire(
        cautions=shipped_cards(WIRE),
        verdict=_verdict(conductor, best, decided, prices),
        rows=tuple(rows),
        notes=notes,
        conductor=conductor,
        recovery=best,
        ways=ways,
        stripping=decided,
        currency=prices.currency if prices else None,
    )


def _conductor_rows(conductor: Conductor | None) -> list[AnswerRow]:
    if conductor is None:
        return []
    count, most = f"{conductor.conductors} × {conductor.size}", conductor.copper_g_per_m
    return [
        AnswerRow("copper", f"{spread(conductor.least_g_per_m, most, most)} g/m", count),
        AnswerRow(
            "cross-section",
            f"{figure(conductor.area_mm2)} mm2",
            "of all conductors; a nominal size is the most there is",
        ),
        AnswerRow(
            "resistance", f"{figure(conductor.ohm_per_km_each, 4)} ohm/km", "of one conductor at 20 °C, if copper"
        ),
    ]


def _way_row(way: Recovery) -> AnswerRow:
    return AnswerRow(f"recovery by {way.way}", percent(way), way.note)


def percent(way: Recovery) -> str:
    """A recovery as people say it: "61 % (59 to 62 %)"."""
    if way.low == way.high:
        return f"{100 * way.likely:.1f} %"
    return f"{100 * way.likely:.1f} % ({100 * way.low:.1f} to {100 * way.high:.1f} %)"


def _verdict(
    conductor: Conductor | None, best: Recovery | None, decided: Stripping | None, prices: Prices | None
) -> str:
    if decided is not None and prices is not None:
        return _decision(decided, prices)
    if best is not None:
        return f"{percent(best)} of its mass is copper, by {best.way}."
    known = f"{figure(conductor.copper_g_per_m)} g of copper in a metre. " if conductor else ""
    return f"{known}How much of the mass that is takes the outside, a weighed length or a stripped sample."


def _decision(decided: Stripping, prices: Prices) -> str:
    money = _money(decided.gain, prices)
    reach = f"between {_money(decided.gain_low, prices)} and {_money(decided.gain_high, prices)}"
    if decided.answer == "by-the-hour":
        hour = "no time at all" if decided.per_hour is None else f"{_amount(decided.per_hour, prices)} an hour"
        return f"Stripping brings {hour}: strip it if an hour of yours is worth less."
    if decided.answer == "close":
        return f"Too close to call: against selling it as it is, stripping brings {money}, {reach}; weigh more samples."
    if decided.answer == "strip":
        return f"Strip it: {money} more than selling it as it is, your time paid ({reach})."
    loss, least, most = (_money(-gain, prices) for gain in (decided.gain, decided.gain_high, decided.gain_low))
    return f"Sell it as it is: stripping loses {loss} against that, your time paid (between {least} and {most})."


def _money_rows(decided: Stripping | None, prices: Prices | None) -> list[AnswerRow]:
    if decided is None or prices is None:
        return []
    rows = [
        AnswerRow(
            "strip from", _money(decided.break_even_bare, prices), "the price of bare copper at which it turns over"
        ),
        AnswerRow(
            "strip up to", _money(decided.break_even_insulated, prices), "the same for the price of insulated wire"
        ),
    ]
    if decided.per_hour is not None:
        rows.append(AnswerRow("an hour of stripping", _amount(decided.per_hour, prices), "before your wage"))
    if decided.break_even_minutes is not None:
        minutes = decided.break_even_minutes * float(kg_per(prices.unit))
        text = "never" if minutes <= 0 else f"{figure(minutes)} min/{prices.unit}"
        rows.append(AnswerRow("strip if quicker than", text, "minutes for each insulated " + prices.unit))
    if decided.break_even_recovery is not None and decided.break_even_recovery > 0.0:
        over = decided.break_even_recovery > 1.0
        text = "no wire" if over else f"{100 * decided.break_even_recovery:.1f} %"
        rows.append(AnswerRow("strip above a recovery of", text))
    return rows


def _money(per_kg: float, prices: Prices) -> str:
    plain = format_price_in(per_kg, prices.unit)
    return f"{prices.currency} {plain}" if prices.currency else plain


def _amount(amount: float, prices: Prices) -> str:
    return f"{prices.currency} {amount:.2f}" if prices.currency else f"{amount:.2f}"
