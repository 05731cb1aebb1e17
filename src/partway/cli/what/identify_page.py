"""What a piece is, as a page: what can hurt, the answer, what else it may be, what a wrong bin costs, what to test."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from partway.catalogue.cards import CautionCard
from partway.cli.words import minutes, sentence
from partway.quantities import format_mass_in, format_money, format_price_in
from partway.reports.what.identify import AskLine, GuideMatch, GuideReport, IdentifiedBin, Identify, NeverLine
from partway.things.scenario import MassUnit

LIKELY = 0.005
MOST_LINES = 8


class ReportMoney:
    """Money of a report: in its currency, or in kg of No. 2 copper where nothing is quoted."""

    def __init__(self, currency: str | None, unit: MassUnit) -> None:
        self.currency, self.unit = currency, unit

    def money(self, amount: float) -> str:
        """An amount."""
        if self.currency is None:
            return f"{format_mass_in(amount, self.unit)} of No. 2 copper"
        return format_money(amount, self.currency)

    def price(self, low: float, per_kg: float, high: float, how: str) -> str:
        """A price with its range where it has one, and how it is known; unquoted is no price of nothing."""
        if how == "unquoted":
            return "unquoted, counted as bringing nothing"
        if self.currency is None:
            span = f", {low:.2f} to {high:.2f}" if low < high else ""
            return f"{per_kg:.2f} of No. 2 copper{span}, by {how}"
        span = f", {format_price_in(low, self.unit)} to {format_price_in(high, self.unit)}" if low < high else ""
        return f"{self.currency} {format_price_in(per_kg, self.unit)}{span}, {'by ' if how == 'ratio' else ''}{how}"


def first_words(report: Identify, shown: set[str]) -> Iterator[str]:
    """While asking: cautions not said before, then how it stands, without money."""
    for never in report.never:
        if never.what not in shown:
            shown.add(never.what)
            yield f"Never {never.what}: {never.why}."
    for caution in report.cautions:
        if caution.id not in shown:
            shown.add(caution.id)
            yield f"{caution.name} ({', '.join(caution.kinds)}): {caution.first}."
    likely = ", ".join(f"{line.name} {line.chance:.0%}" for line in report.materials[:3] if line.chance >= LIKELY)
    yield f"So far: {likely}; bin: {report.bin_name}."


def show_identify(console: Console, report: Identify, unit: MassUnit) -> None:
    """Print the whole page."""
    sums = ReportMoney(report.currency, unit)
    _first(console, report.cautions, report.never)
    about = f"{report.context_name.lower()}, {format_mass_in(report.mass_kg, unit)}"
    console.print(Text.assemble((sentence(report.bin_name), "bold"), f" ({about})"))
    if report.bin is None:
        _line(console, "No bin is worth the risk of a wrong piece in it.")
    else:
        _line(console, f"Worth {sums.money(report.expected)} there on average.")
    if report.perfect > 0.0:
        _line(console, f"Knowing for sure would bring {sums.money(report.perfect)} more.")
    for answer in report.answers:
        _line(console, f"{answer.name}: {answer.says}")
    _title(console, "What it may be")
    likely = [line for line in report.materials if line.chance >= LIKELY][:MOST_LINES]
    for line in likely:
        _line(console, f"{line.chance:>5.0%}  {line.name} → {line.grade_name}")
    rest = 1.0 - sum(line.chance for line in likely)
    if rest >= LIKELY:
        _line(console, f"{rest:>5.0%}  something else")
    _title(console, "Bins, and what a wrong one costs")
    for each in report.bins:
        _bin(console, each, sums, report)
    _tests(console, report, sums)
    _notes(console, report.notes)


def _bin(console: Console, line: IdentifiedBin, sums: ReportMoney, report: Identify) -> None:
    if line.grade is None:
        _line(console, f"{sentence(line.name)}: counts for {sums.money(line.expected)}, and it can be looked at again.")
        return
    price = sums.price(line.price_low, line.price, line.price_high, line.how)
    _line(console, f"{line.name} ({price}): brings {sums.money(line.expected)}, right {line.right:.0%}")
    if line.worst:
        worst = next(m.name for m in report.materials if m.material == line.worst)
        at_worst = f" on average; {sums.money(line.worst_loss)} were it {worst.lower()}"
        _line(console, f"where it is wrong it costs {sums.money(line.loses)}{at_worst}", by=4)


def _tests(console: Console, report: Identify, sums: ReportMoney) -> None:
    _title(console, "What to test next")
    if report.stop:
        _line(console, f"Nothing: {report.stop_why}.")
    for line in report.tests[:MOST_LINES]:
        _ask(console, line, sums)
    for other in report.not_now:
        _line(console, f"not {other.name}: {other.why}")


def _ask(console: Console, line: AskLine, sums: ReportMoney) -> None:
    gain = f"{sums.money(max(line.gain, line.with_next) - line.cost)} in {minutes(line.minutes)}"
    _line(console, Text.assemble((sentence(line.name), "bold"), f" ({gain}): {line.ask}"))
    _line(console, line.why, by=4)
    if line.answers:
        _line(console, f"--answer {line.test}={'|'.join(answer for answer, _ in line.answers)}", by=4)


def show_guide(console: Console, report: GuideReport, unit: MassUnit) -> None:
    """Print a guide's page."""
    sums, names = ReportMoney(report.currency, unit), dict(report.features)
    _first(console, report.cautions, report.never)
    console.print(Text(f"{report.name}: what is seen, and the grade it makes", style="bold"))
    for feature in report.seen:
        _line(console, f"seen: {names[feature]}")
    if not report.matches:
        _line(console, "No grade agrees with all of it: look again, or ask the buyer with a picture.")
    for match in report.matches:
        _match(console, match, names, sums)
    _title(console, "Look for" if report.look_for else "Features")
    for feature in report.look_for or tuple(names):
        _line(console, f"{feature}: {names[feature]}")
    _notes(console, report.notes)


def _match(console: Console, match: GuideMatch, names: dict[str, str], sums: ReportMoney) -> None:
    sure = "all of it seen" if match.whole else f"still to see: {'; '.join(names[f] for f in match.to_see)}"
    console.print()
    _line(console, Text.assemble((match.name, "bold"), f" ({sure})"))
    _line(console, sums.price(match.price_low, match.price, match.price_high, match.how), by=4)
    _line(console, f"spoiled by: {'; '.join(match.spoils)}", by=4)


def _first(console: Console, cautions: Sequence[CautionCard], never: Sequence[NeverLine]) -> None:
    """What can hurt, and what is never done."""
    console.print(Text("FIRST: WHAT CAN HURT", style="bold"))
    for each in never:
        _line(console, Text.assemble((f"Never {each.what}", "bold"), f": {each.why}."))
    for caution in cautions:
        of = f" ({', '.join(caution.kinds)})"
        _line(console, Text.assemble((caution.name, "bold"), f"{of}: {caution.first_and_never}"))
    _line(console, "Check your local code; leave licensed work to those who hold the licence.")
    console.print()


def _title(console: Console, text: str) -> None:
    console.print()
    console.print(Text(text.upper(), style="bold"))


def _line(console: Console, text: str | Text, by: int = 2) -> None:
    console.print(Padding(text if isinstance(text, Text) else Text(text), (0, 0, 0, by), expand=False))


def _notes(console: Console, notes: Sequence[str]) -> None:
    if notes:
        _title(console, "Notes")
        for note in notes:
            _line(console, note)
