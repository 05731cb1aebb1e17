"""The books of a year, as a page: sums by category, the road, what is still owed."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from partway.actions.recording.describe import Say
from partway.cli.books.earned_page import show_table
from partway.reports.books.told.year import YearBooks


def show_year(console: Console, books: YearBooks, say: Say) -> None:
    """The sums; every line of them is in the file that -o writes."""
    console.print(Text(f"{books.year}: {say.money(books.net)} left of {say.money(books.income)}", style="bold"))
    rows = [(one.category, str(one.lines), say.money(one.amount)) for one in books.categories]
    show_table(console, "By category", ("what", "lines", "amount"), rows)
    owed = [(one.ticket, one.buyer, say.money(one.total), say.money(one.open)) for one in books.open]
    show_table(console, f"Open items at {books.until:%d %B %Y}", ("ticket", "buyer", "total", "owed"), owed)
    console.print()
    unsaid = sum(drive.km is None for drive in books.drives)
    without = f", {unsaid} of them without a distance" if unsaid else ""
    console.print(f"On the road: {say.km(books.km)} in {len(books.drives)} drives{without}.")
    for note in books.notes:
        console.print(Padding(Text(note), (0, 0, 0, 2), expand=False))
