"""What an hour earned, as a page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from partway.actions.recording.describe import Say
from partway.cli.words import hours
from partway.reports.books.per_hour import PerHour
from partway.reports.books.per_place import PerPlace
from partway.reports.books.per_yard import PerYard
from partway.valuing.earned import Earned

RIGHT = frozenset(
    {
        "an hour",
        "left",
        "in",
        "out",
        "time",
        "opened",
        "came out",
        "brought",
        "share",
        "tickets",
        "handed over",
        "off",
        "on the road",
        "on the round",
        "waiting",
        "fuel",
        "rounds",
        "owed",
        "worked",
        "sold",
        "spent",
        "pieces",
        "recycled",
        "spared",
    }
)


def show_books(console: Console, report: PerHour, say: Say, per: str | None) -> None:
    """The hour of this month and of the last weeks; then the lines that were asked for, months where none were."""
    month = report.month
    if month.per_hour is not None:
        console.print(Text(f"{say.money(month.per_hour)} an hour this month", style="bold"))
        console.print(f"  {say.money(month.net)} left of {say.money(month.income)} that came in, over {_time(month)}.")
    else:
        console.print(Text("No hours are recorded this month.", style="bold"))
    for name, of in (("the last 4 weeks", report.weeks), (_days(report), report.window)):
        if of.per_hour is not None:
            console.print(f"  {say.money(of.per_hour)} an hour in {name}: {say.money(of.net)} over {_time(of)}.")
    SHOWS[per or "month"](console, report, say)
    if per is not None:
        _notes(console, report.notes)


def _days(report: PerHour) -> str:
    return "all there is" if report.since is None else f"the days since {report.since.day} {report.since:%B %Y}"


def _time(of: Earned) -> str:
    return hours(sum(of.minutes.values()) / 60.0)


def _hourly(amount: float | None, say: Say) -> str:
    return "no hours" if amount is None else say.money(amount)


def _months(console: Console, report: PerHour, say: Say) -> None:
    rows = [
        (
            f"{line.first:%B %Y}{'' if line.whole else ', so far'}",
            _hourly(line.per_hour, say),
            say.money(line.net),
            say.money(line.income),
            say.money(line.costs),
            hours(line.minutes / 60.0),
        )
        for line in reversed(report.months)
    ]
    show_table(console, "By month", ("month", "an hour", "left", "in", "out", "time"), rows)


def _activities(console: Console, report: PerHour, say: Say) -> None:
    rows = [
        (
            line.activity,
            hours(line.minutes / 60.0),
            f"{line.share:.0%}",
            "" if line.per_hour is None else say.money(line.per_hour),
            line.basis,
        )
        for line in report.activities
    ]
    show_table(console, "By activity", ("what", "time", "share", "an hour", "of"), rows)


def _kinds(console: Console, report: PerHour, say: Say) -> None:
    """Each kind, what can hurt about it before its money."""
    kinds = report.kinds
    rows = []
    for line in kinds.lines:
        careful = (
            f"{line.cautions[0]}{f', {len(line.cautions) - 1} more' if len(line.cautions) > 1 else ''}"
            if line.cautions
            else ""
        )
        most = "at most " if line.untimed and line.per_hour is not None else ""
        hour = "not timed" if line.per_hour is None else f"{most}{say.money(line.per_hour)}"
        rows.append(
            (
                line.name,
                careful,
                hour,
                say.money(line.money),
                hours(line.minutes / 60.0),
                str(line.openings),
                say.kg(line.out_kg),
            )
        )
    rows.append(
        (
            "all kinds, on finds alone",
            "",
            _hourly(kinds.per_hour, say),
            say.money(kinds.money),
            hours(kinds.minutes / 60.0),
            str(kinds.openings),
            "",
        )
    )
    all_of_it = hours((kinds.minutes + kinds.overhead_minutes) / 60.0)
    with_all = say.money(Decimal(kinds.money) + kinds.costs)
    rows.append(("with every hour and cost", "", _hourly(kinds.per_hour_with_all, say), with_all, all_of_it, "", ""))
    show_table(console, "By kind", ("kind", "careful", "an hour", "brought", "time", "opened", "came out"), rows)


def _people(console: Console, report: PerHour, say: Say) -> None:
    """Each person's hours and money; the last row is all of it."""
    all_of_it, window = sum(report.window.minutes.values()), report.window
    rows = [(one.who, one.worked, one.per_hour, one.net, one.sold, one.spent) for one in report.people]
    rows.append(("all of them", all_of_it, window.per_hour, window.net, window.income, window.costs))
    told = [
        (who, hours(minutes / 60.0), _hourly(hour, say), say.money(net), say.money(sold), say.money(spent))
        for who, minutes, hour, net, sold, spent in rows
    ]
    columns = ("who", "worked", "an hour", "left", "sold", "spent")
    show_table(console, "By person", columns, told if report.people else [])


def show_yards(console: Console, report: PerYard, say: Say) -> None:
    """A row a yard."""
    rows = [
        (
            line.name,
            _hourly(line.per_hour, say),
            say.money(line.money),
            say.money(line.deductions) if line.deductions else "",
            say.kg(line.kg),
            str(line.tickets),
            hours(line.minutes / 60.0) if line.minutes else "",
            say.money(line.owed) if line.owed else "",
        )
        for line in report.lines
    ]
    columns = ("yard", "an hour", "left", "off", "handed over", "tickets", "on the road", "owed")
    show_table(console, "By yard", columns, rows)
    _notes(console, report.notes)


def show_places(console: Console, report: PerPlace, say: Say) -> None:
    """A row a place."""
    rows = [
        (
            line.place or "no place said",
            _hourly(line.per_hour, say),
            say.money(line.net),
            say.money(line.brought),
            say.money(line.waiting),
            say.money(line.fuel),
            str(line.rounds),
            hours(line.minutes / 60.0) if line.minutes else "",
        )
        for line in report.lines
    ]
    columns = ("place", "an hour", "left", "brought", "waiting", "fuel", "rounds", "on the round")
    show_table(console, "By place", columns, rows)
    _notes(console, report.notes)


SHOWS: dict[str, Callable[[Console, PerHour, Say], None]] = {
    "month": _months,
    "activity": _activities,
    "kind": _kinds,
    "person": _people,
}


def show_table(console: Console, title: str, columns: Sequence[str], rows: Sequence[tuple[str, ...]]) -> None:
    """A table under its title; figures stand at the right."""
    console.print()
    console.print(Text(title.upper(), style="bold"))
    if not rows:
        console.print("  Nothing is recorded in these days.")
        return
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    for column in columns:
        table.add_column(column, justify="right" if column in RIGHT else "left")
    for row in rows:
        table.add_row(*map(Text, row))
    console.print(table)


def _notes(console: Console, notes: Sequence[str]) -> None:
    console.print()
    for note in notes:
        console.print(Padding(Text(note), (0, 0, 0, 2), expand=False))
