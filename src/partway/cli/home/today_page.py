"""The day and the bins as pages."""

from __future__ import annotations

import datetime as dt

from rich.console import Console
from rich.table import Table
from rich.text import Text

from partway.actions.recording.describe import Say
from partway.catalogue.cards import CautionCard
from partway.cli.books.conflicts import ALL, SIGN, mark, settle
from partway.cli.careful import Careful
from partway.cli.words import MORE, few, hours, minutes, typed, weekday
from partway.reports.bins.listed import Best, Stock
from partway.reports.books.conflicts import TWO_DEVICES, mark_of
from partway.reports.books.overview import Due, Overview, Stale, Waiting
from partway.reports.called import Called
from partway.reports.home.act_lines import ActWords
from partway.reports.home.today import Today
from partway.spoken.texts import day_text
from partway.valuing.acts.act import Sort

MOST = 12  # lines of a list before the rest is counted
COMMANDS: dict[Sort, str] = {
    "hazard-bin": "partway stock",
    "hazard-find": "partway open {subject}",
    "settle": "partway conflicts",
    "haul": "partway haul finish",
    "round": "partway round end",
    "full": "partway plan",
    "unpaid": "partway paid {buyer}",
    "open": "partway open {subject}",
    "call": "partway quotes {buyer}",
    "takes": "partway quotes {buyer}",
    "go": "partway plan",
    "wait": "partway plan",
}
CONDITION = {"yes": "works", "no": "does not work", "unknown": "test it"}


def show_today(console: Console, today: Today, say: Say, called: Called, careful: Careful | None = None) -> None:
    """Cautions first; then the acts that come next, what is under way, what an hour brought."""
    console.print(Text(_headed(today.on, called), style="bold"))
    _cautions(console, today.cautions, careful)
    if today.conflicts:
        _list(console, "To settle", [f"{SIGN} {line.words}.\n    {settle(line)}" for line in today.conflicts])
        console.print(f"  {ALL}")
    _acts(console, today, say)
    going = [f"{called.haul(h.id)}: {', '.join(map(called.buyer, h.stops))}" for h in today.hauls]
    _list(console, "Under way", [*going, *(f"round: {where}" for where in today.rounds)])
    _earned(console, today, say)
    _list(console, "Taken as given", list(map(called.in_text, today.notes)))


def _acts(console: Console, today: Today, say: Say) -> None:
    """What to do next and why, with the command that does it."""
    _title(console, "Next")
    words = ActWords(say.about, minutes, weekday(today.on))
    for number, line in enumerate(today.acts, start=1):
        console.print(Text(f"  {number}. {words.title(line)}"))
        console.print(Text(f"     {words.why(line)}: {COMMANDS[line.act.sort].format_map(line.act.ids)}"))
    if not today.acts:
        console.print("  Nothing presses, and nothing that waits would earn more.")


def show_overview(console: Console, stands: Overview, say: Say, called: Called, careful: Careful | None = None) -> None:
    """Cautions first; then what waits, what is due, whose price is old, what is owed, all of it so far."""
    console.print(Text(_headed(stands.on, called), style="bold"))
    _cautions(console, stands.cautions, careful)
    if stands.place_cards:
        count = len(stands.place_cards)
        what = "rule of your place is" if count == 1 else "rules of your place are"
        console.print(f"{count} {what} not filled in, or more than a year old: partway place")
    _list(
        console,
        f"Waiting: {len(stands.waiting)} find{'' if len(stands.waiting) == 1 else 's'}",
        [_waiting(w, say, called) for w in stands.waiting],
    )
    _list(console, "Bins that are due", [_due(due, say, called) for due in stands.bins])
    _list(console, "Ask for a price", [_stale(one, called) for one in stands.stale])
    unpaid = [f"{called.ticket(u.ticket)}: {say.money(u.open)} open" for u in stands.unpaid]
    _list(console, "Not paid yet", unpaid)
    _handled(console, stands, say)
    _list(console, "Taken as given", list(map(called.in_text, stands.notes)))


def _headed(on: str, called: Called) -> str:
    return day_text(dt.date.fromisoformat(on), called.today)


def _cautions(console: Console, cautions: tuple[CautionCard, ...], careful: Careful | None) -> None:
    """What can hurt, whose it is and what comes first; in short what was shown before today."""
    if not cautions:
        return
    whole, again = careful.split(cautions) if careful else (cautions, "")
    _title(console, "First: what can hurt")
    for caution in whole:
        console.print(Text(f"  {caution.name} ({few(caution.kinds)}): {caution.first}."))
    if again:
        console.print(Text(f"  {again}"))
    console.print(f"  {MORE}")


def _title(console: Console, text: str) -> None:
    console.print()
    console.print(Text(text.upper(), style="bold"))


def _list(console: Console, title: str, lines: list[str]) -> None:
    if not lines:
        return
    _title(console, title)
    for line in lines[:MOST]:
        console.print(Text(f"  {line}"))
    if len(lines) > MOST:
        console.print(f"  and {len(lines) - MOST} more")


def _stale(one: Stale, called: Called) -> str:
    asked = "nobody has quoted it" if one.days is None else f"{one.days} days old, from {called.buyer(one.buyer)}"
    return f"{called.grade(one.grade)}: {asked}{mark(mark_of(one.conflict))}"


def _waiting(find: Waiting, say: Say, called: Called) -> str:
    count = f"{find.count} × " if find.count > 1 else ""
    mass = f", {say.kg(find.mass_kg)}" if find.mass_kg else ", not weighed"
    more = f" ({find.note})" if find.note else ""
    name, doubt = called.find(find.find), mark(mark_of(find.conflict))
    return f"{count}{name}{mass}, {CONDITION[find.works]}, {_days(find.days)}{more}{typed(find.find)}{doubt}"


def _days(days: int) -> str:
    return "today" if days == 0 else "1 day" if days == 1 else f"{days} days"


def _due(due: Due, say: Say, called: Called) -> str:
    if due.what == "full":
        return f"{called.bin(due.bin)}: {due.share:.0%} full, {say.kg(due.mass_kg)}{mark(mark_of(due.conflict))}"
    least = say.kg(due.least_kg)
    name = "minimum lot" if due.what == "minimum" else "better price from"
    have = "reached" if due.share >= 1 else "near"
    lot = f"{name} {least} at {called.buyer(due.buyer)} {have}"
    return f"{called.grade(due.grade)}: {say.kg(due.mass_kg)}, {lot}{mark(mark_of(due.conflict))}"


def _earned(console: Console, today: Today, say: Say) -> None:
    done = today.earned
    _title(console, f"The last {done.days // 7} weeks")
    spent = sum(done.minutes.values()) / 60.0
    rate = "" if done.per_hour is None else f", {say.money(done.per_hour)} an hour"
    console.print(f"  {say.money(done.net)} in {hours(spent)}{rate}")


def _handled(console: Console, stands: Overview, say: Say) -> None:
    mass = stands.handled
    _title(console, "All of it so far")
    share = "" if mass.diverted_share is None else f" ({mass.diverted_share:.0%} of what has left)"
    tipped = f" ({say.kg(mass.tipped_kg)} more to a tip)" if mass.tipped_kg else ""
    console.print(
        f"  of {say.kg(mass.in_kg)} handled: {say.kg(mass.diverted_kg)} diverted{share}, "
        f"{say.kg(mass.stock_kg)} still here, {say.kg(mass.residue_kg)} residue{tipped}, {say.kg(mass.loss_kg)} loss"
        f"{mark(mark_of(mass.conflict))}"
    )


def show_stock(console: Console, stock: Stock, say: Say, called: Called, careful: Careful | None = None) -> None:
    """What can hurt, then one row a bin."""
    _cautions(console, stock.cautions, careful)
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    for column in ("bin", "mass", "age", "full", "best today", "worth"):
        right = column in ("mass", "age", "full", "worth")
        table.add_column(column, justify="right" if right else "left", no_wrap=column == "bin")
    for line in (line for line in stock.lines if line.mass_kg):
        age = "" if line.days is None else _days(line.days)
        full = "" if line.full is None else f"{line.full:.0%}"
        best, worth = _best(line.best, line.grade, say, called) if line.best else ("not quoted", "")
        name, grade = called.bin(line.bin), called.grade(line.grade)
        name += ("" if name == grade else f" ({grade})") + mark(mark_of(line.conflict))
        table.add_row(name, say.kg(line.mass_kg), age, full, best, worth)
    console.print(table)
    total, on = say.money(stock.value), called.day(dt.date.fromisoformat(stock.on))
    doubt = (
        f"{mark(TWO_DEVICES)} about {few([*map(called.bin, stock.conflict)])}: partway conflicts"
        if stock.conflict
        else ""
    )
    console.print(f"{say.kg(stock.mass_kg)} in all, {total} at the best quotes of {on}{doubt}")
    if any(line.best and line.best.posted for line in stock.lines):
        console.print(
            "What goes by mail is counted as posted alone; several grades in one parcel cost less: partway plan."
        )
    fees = {line.best.buyer: line.best.ticket_fee for line in stock.lines if line.best and line.best.ticket_fee}
    for buyer, fee in fees.items():
        console.print(f"Each ticket of {called.buyer(buyer)} costs {say.money(fee)}, which is in no bin's worth.")
    empty = [f"{called.bin(line.bin)}{mark(mark_of(line.conflict))}" for line in stock.lines if not line.mass_kg]
    if empty:
        console.print(f"Empty: {', '.join(empty)}.")
    if stock.unquoted:
        console.print(f"Not quoted, which is not worth nothing: {', '.join(map(called.grade, stock.unquoted))}.")


def _best(best: Best, grade: str, say: Say, called: Called) -> tuple[str, str]:
    as_grade = "" if best.as_grade == grade else f" as {called.grade(best.as_grade)}"
    least = ""
    if best.least_kg:
        least = f", {'pays by post' if best.by_post else 'lots'} from {say.kg(best.least_kg)}"
    missing = f", {say.kg(best.missing_kg)} missing" if best.missing_kg else ""
    after = ["its share of the ticket"] * bool(best.ticket_share) + ["postage"] * best.posted
    price = say.price(best.price_per_kg) + (f" after {' and '.join(after)}" if after else "")
    worth = "not yet" if best.value is None else say.money(best.value)
    return f"{called.buyer(best.buyer)}{as_grade} {price}{least}{missing}, {_days(best.days)}", worth
