"""The plan as a page to work from: cautions, the bench, the loads, what stays, the money."""

from __future__ import annotations

import datetime as dt

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from partway.cli.books.conflicts import ALL, mark
from partway.cli.words import MORE, PageWords, answered, few, hours, in_some, in_ten, minutes, sentence, times
from partway.reports.books.conflicts import mark_of
from partway.reports.haul.doubts import in_short
from partway.reports.haul.plan import Plan
from partway.reports.haul.plan_lines import EndLine, FindLine, OpenLine, SaleLine, TripLine, Why
from partway.spoken.texts import dated
from partway.things.scenario import Scenario
from partway.valuing.plans.facts import Fate, FindOut

CONDITION = {"yes": "works", "no": "does not work", "unknown": "condition unknown"}

SURELY = 0.95  # a plan that beats staying home so often needs no word about it
MOST_TO_FIND_OUT = 4


def show_plan(console: Console, plan: Plan, scenario: Scenario) -> None:
    """Print the whole page."""
    page = PlanPrinter(console, plan, PageWords(scenario))
    page.title_line()
    page.cautions()
    page.conflicts()
    page.expected()
    page.bench()
    page.whole()
    page.parts()
    page.loads()
    page.kept()
    page.money()
    page.find_out()
    page.notes()


class PlanPrinter:
    """The sections of the page, each printed by its own method."""

    def __init__(self, console: Console, plan: Plan, words: PageWords) -> None:
        self.console, self.plan, self.words = console, plan, words
        self.lines = {line.line: line for line in plan.open}

    def title(self, text: str) -> None:
        self.console.print()
        self.console.print(Text(text.upper(), style="bold"))

    def indented(self, text: str | Text, by: int = 2, style: str = "") -> None:
        self.console.print(
            Padding(text if isinstance(text, Text) else Text(text, style=style), (0, 0, 0, by), expand=False)
        )

    # -- head and cautions ----------------------------------------------------------------------

    def title_line(self) -> None:
        """What it is; no money before the cautions."""
        self.console.print(
            Text(self.plan.name, style="bold"), f" prices as of {dated(dt.date.fromisoformat(self.plan.on))}", sep=","
        )

    def expected(self) -> None:
        """The one number with its range, and how sure it is."""
        plan, words = self.plan, self.words
        self.console.print()
        open_gap = in_short(plan.doubts) or f"at most {plan.gap:.2%} better is possible"
        sure = "proven best" if plan.status == "optimal" else open_gap
        self.console.print(
            f"{words.money(plan.cash.expected)} in cash expected{self._range()}; "
            f"{hours(plan.hours.bench)} at the bench, {hours(plan.hours.away)} away ({sure})."
        )
        if plan.go_or_wait:
            self.console.print(plan.go_or_wait)
        if plan.cash.beats_home < SURELY:
            self.console.print(f"Better than staying home in {in_ten(plan.cash.beats_home)}.")

    def _range(self) -> str:
        cash, plain = self.plan.cash, self.words.plain
        return f", 8 times in 10 between {plain(cash.low)} and {plain(cash.high)}" if cash.low != cash.high else ""

    def cautions(self, most: int | None = None) -> None:
        """Hazards before any money line; a picture may show the first few."""
        if not self.plan.cautions:
            return
        self.title("First: what can hurt")
        for caution in self.plan.cautions[:most]:
            whose = few([self._whose(k) for k in caution.kinds])
            self.indented(Text.assemble((caution.name, "bold"), f" ({whose}): {caution.first}."))
            if caution.never:
                self.indented(f"{sentence(caution.never)}.", by=4)
        self.indented(MORE)

    def conflicts(self) -> None:
        """Finds and bins whose mass is in doubt: the money below counts them as the ledger has them."""
        if not self.plan.conflict:
            return
        self.title("To settle: what this plan counts may not be there")
        for one in self.plan.conflict:
            what = f"{one.place.partition(':')[2]} ({self._whose(one.of).lower()})"
            self.indented(f"{what}{mark(mark_of(one.conflict))}")
        self.indented(ALL)

    def _whose(self, of: str) -> str:
        name = self.words.kind(of)
        return name if name != of else self.words.grade(of)

    # -- bench ----------------------------------------------------------------------------------

    def bench(self, most: int | None = None) -> None:
        """Find by find, best money per hour first; operations in working order, then where each piece ends."""
        opened = [find for find in self.plan.finds if find.open]
        if not opened:
            return
        self.title("At the bench, best money per hour first")
        for find in opened[:most]:
            self._find(find)

    def _find(self, find: FindLine) -> None:
        each = f"{self.words.mass(find.mass_kg)} each" if find.count > 1 else self.words.mass(find.mass_kg)
        rate = f"{self.words.money(find.per_hour)} an hour" if find.per_hour is not None else ""
        head = f" ({each}, {CONDITION[find.works]})  {hours(find.minutes / 60.0)}  {rate}"
        self.indented(Text.assemble((times(find.count, find.name), "bold"), head))
        for number in find.open:
            self._operation(self.lines[number], find)
        if find.left_whole:
            self.indented(f"leave {find.left_whole} of {find.count} whole", by=6)
        self._ends(find)

    def _operation(self, line: OpenLine, find: FindLine) -> None:
        many = "" if line.times == line.of else f" ({line.times} of {line.of})"
        said = answered(line.only_if) + line.name
        self.indented(f"{line.line:>3}  {said}{many}, {minutes(line.minutes)}", by=2)
        if line.advice:
            self.indented(line.advice, by=7)
        if line.note:
            self.indented(line.note, by=7, style="dim")
        self._why(line.why)

    def _ends(self, find: FindLine) -> None:
        """Where to stop, bin by bin: heaviest bin first, then what is listed and what is kept."""
        bins: dict[str, list[EndLine]] = {}
        for end in find.ends:
            where = {"grade": self.words.grade(end.to), "part": "to sell as parts", "keep": "keep as it is"}
            bins.setdefault(where[end.outlet], []).append(end)
        for name, ends in sorted(bins.items(), key=lambda item: -sum(end.mass_kg for end in item[1])):
            mass = self.words.mass(sum(end.mass_kg for end in ends))
            self.indented(f"→ {name}, {mass}: {', '.join(map(self._end, ends))}", by=7)

    def _end(self, end: EndLine) -> str:
        stop = " (stays shut)" if end.stop else f" ({in_some(end.only_if)[2:]})" if end.only_if else ""
        return f"{times(end.count, end.name[:1].lower() + end.name[1:])}{stop}"

    def whole(self) -> None:
        """Finds that nothing is done to."""
        left = [find for find in self.plan.finds if not find.open]
        if not left:
            return
        self.title("Leave whole")
        for find in left:
            self.indented(Text.assemble((times(find.count, find.name), "bold"), f" ({CONDITION[find.works]})"))
            self._ends(find)

    def parts(self) -> None:
        """Parts to list."""
        if not self.plan.parts:
            return
        self.title("Sell as parts")
        table = self._table("", "part", "asking", "chance", "within", "expected")
        for line in self.plan.parts:
            table.add_row(
                str(line.line),
                f"{times(line.units, line.name)}{in_some(line.only_if)} ({self.words.kind(line.kind)})",
                self.words.plain(line.price),
                f"{line.chance:.0%}",
                f"{line.days:.0f} days",
                self.words.plain(line.expected),
            )
        self.console.print(table)
        for line in self.plan.parts:
            self._why(line.why, str(line.line))

    # -- loads ----------------------------------------------------------------------------------

    def loads(self) -> None:
        """Each trip with its stops in order, then the mail."""
        for trip in self.plan.trips:
            self._trip(trip)
        mailed = [line for line in self.plan.sales if line.trip is None]
        if mailed:
            self.title("By mail")
            for parcel in self.plan.parcels:
                size = self.words.mass(parcel.up_to_kg)
                self.indented(
                    f"{times(parcel.parcels, 'parcel')} up to {size}, postage {self.words.money(parcel.cost)}"
                )
            self._lots(mailed)
            self._fees(None)

    def _trip(self, trip: TripLine) -> None:
        places = (self.words.buyer(b) if stop else f"past {self.words.buyer(b)}" for b, stop in trip.driven)
        way = " → ".join(["home", *places, f"{trip.ends_at}, where it ends" if trip.ends_at else "home"])
        self.title(f"Load {trip.trip}" if len(self.plan.trips) > 1 else "The load")
        self.indented(f"{way}")
        full = f"{self.words.mass(trip.load_kg)}, {trip.load_litres:.0f} L"
        self.indented(f"{self.words.distance(trip.km)}, {hours(trip.hours)} with time on site, {full} on board")
        self._lots([line for line in self.plan.sales if line.trip == trip.trip])
        self._fees(trip.trip)

    def _fees(self, trip: int | None) -> None:
        """What the buyers of a trip keep back of these amounts."""
        for stop in self.plan.stops:
            if stop.trip == trip and stop.fee:
                self.indented(f"{self.words.buyer(stop.buyer)} keeps back {self.words.money(stop.fee)} as its fee")

    def _lots(self, lines: list[SaleLine]) -> None:
        table = self._table("", "buyer", "grade", "mass", "price", self.plan.currency)
        last = ""
        for line in lines:
            buyer = self.words.buyer(line.buyer)
            table.add_row(
                str(line.line),
                buyer if buyer != last else "",
                self.words.grade(line.grade),
                self.words.mass(line.mass_kg),
                self._at(line),
                self.words.plain(line.amount),
            )
            last = buyer
        self.console.print(table)
        for line in lines:
            self._why(line.why, str(line.line))

    def _at(self, line: SaleLine) -> str:
        if line.each is None or line.pieces is None:
            ends = f" ({' to '.join(self.words.price(end) for end in line.ends)})" if line.ends else ""
            return f"{self.words.price(line.price_per_kg)}{ends}"
        return f"{line.pieces:.0f} at {self.words.plain(line.each)} each"

    def _table(self, *columns: str) -> Table:
        table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
        left = {"part", "buyer", "grade", "what", "why"}
        for column in columns:
            table.add_column(column, justify="left" if column in left else "right", no_wrap=column not in left)
        return table

    def _why(self, why: Why | None, number: str = "") -> None:
        if why is None:
            return
        start = f"{number}: " if number else ""
        about = "" if why.exact else "about "
        instead = ", ".join(map(self._fate, why.runner_up)) or "there is none of it"
        text = f"{start}without it: {instead}; worth {about}{self.words.money(why.worth)}"
        self.indented(text + self._flip(why), by=7, style="dim")

    def _fate(self, fate: Fate) -> str:
        much = self.words.mass(fate.mass_kg) if fate.mass_kg is not None else f"{fate.count}"
        to = {
            "buyer": f"to {self.words.buyer(fate.to)}",
            "grade": f"as {self.words.grade(fate.to)}",
            "part": "sold as a part",
            "open": fate.to,
            "keep": "kept",
        }
        return f"{much} {to[fate.way]}"

    def _flip(self, why: Why) -> str:
        if why.flip_price is None:
            of = f" of {self.words.grade(why.flip_grade)}" if why.flip_grade else ""
            found = (
                "turns it over, up to ten times today's" if why.exact else "that turns it over was found in the time"
            )
            return f"; no price{of} {found}"
        about = "" if why.exact else "about "
        if why.flip_grade is None:
            return f"; turns over at {about}{self.words.plain(why.flip_price)} asked"
        price = f"{about}{self.words.price(why.flip_price)}"
        postage = ", postage to be paid out of it" if why.includes_postage else ""
        if why.flip_buyer:
            return f"; turns over with {self.words.buyer(why.flip_buyer)} paying {price}{postage}"
        return f"; turns over with {self.words.grade(why.flip_grade)} at {price}{postage}"

    # -- what stays, money, notes ---------------------------------------------------------------

    def kept(self) -> None:
        """What is kept and why."""
        if not self.plan.kept:
            return
        self.title("Keep")
        table = self._table("", "what", "mass", "counts as", "why")
        for line in self.plan.kept:
            what = self.words.grade(line.grade) if line.grade else self._kept_piece(line.kind, line.piece, line.count)
            mass, value = self.words.mass(line.mass_kg), self.words.plain(line.value)
            table.add_row(str(line.line), what, mass, value, Text(line.reason))
        self.console.print(table)

    def _kept_piece(self, kind: str | None, piece: str | None, count: int | None) -> str:
        return times(count or 1, self.words.piece(kind or "", piece or ""))

    def money(self) -> None:
        """The sum, line by line, as the objective counts it."""
        money, words = self.plan.money, self.words
        self.title(f"Money, {self.plan.currency}")
        table = self._table("what", "amount", "why")
        table.show_header = False
        rows = [
            ("scale and mail", money.sales, ""),
            ("parts, on average", money.parts, ""),
            ("postage", money.shipping, ""),
            ("fees and consumables", money.fees, ""),
            ("driving", money.driving, ""),
        ]
        for what, amount, note in rows:
            if amount:
                table.add_row(what, words.plain(amount), note)
        table.add_row(
            Text("cash", style="bold"), Text(words.plain(self.plan.cash.expected), style="bold"), self._rate()
        )
        wage = words.scenario.hours.wage
        spent = hours(self.plan.hours.bench + self.plan.hours.away)
        table.add_row("your hours", words.plain(money.wage), f"{spent} at {words.plain(wage)}")
        table.add_row("what is kept", words.plain(money.kept), "at its keep value")
        table.add_row(
            "what the plan is worth",
            words.plain(self.plan.objective),
            "this is what was made as large as it can be",
        )
        self.console.print(table)
        self._next_hours()

    def _rate(self) -> str:
        rate = self.plan.cash_per_hour
        return "" if rate is None else f"{self.words.money(rate)} for each hour worked"

    def _next_hours(self) -> None:
        for gain, where in ((self.plan.next_hour, "at the bench"), (self.plan.next_away_hour, "away")):
            if gain is not None:
                added = f"adds {self.words.money(gain)} on top of your wage" if gain >= 0.005 else "adds nothing"
                self.indented(f"One hour more {where} {added} (solved again).")

    def find_out(self) -> None:
        """How good the plan stays with other prices and masses, and what to find out first."""
        again = self.plan.again
        if again is not None and again.times:
            self.title("With other prices and masses")
            self.indented(
                f"Planned again {again.times} times: {again.same_trip} times the same trip. "
                f"To know them all would bring {self.words.money(again.regret)} more."
            )
        if self.plan.find_out:
            self.title("Worth finding out first")
            for one in self.plan.find_out[:MOST_TO_FIND_OUT]:
                worth = f"{self.words.money(one.worth)}, {minutes(one.minutes)}"
                self.indented(f"{self._what(one)}: worth {worth}.{self._turns(one)}")

    def _what(self, one: FindOut) -> str:
        words = self.words
        if one.sort == "look":
            named = words.operation(one.kind or "", one.operation or "")
            return f"{times(one.count or 1, words.kind(one.kind or ''))}, {named}"
        if one.sort == "mass":
            return f"Weigh: {words.kind(one.kind or '')}"
        asked = "whether they take" if one.sort == "takes" else "for the price of"
        return f"Ask {words.buyer(one.buyer or '')} {asked} {words.grade(one.grade or '')}"

    def _turns(self, one: FindOut) -> str:
        if one.turns is None or one.chance is None:
            return ""
        at = self.words.price(one.turns) if one.sort == "price" else self.words.mass(one.turns)
        beyond = f"{'Above' if one.above else 'Below'} {at} ({in_ten(one.chance)})"
        return f" {beyond} another plan is better{self._instead(one)}."

    def _instead(self, one: FindOut) -> str:
        if set(one.instead) == set(self.plan.routes):
            return ", by the same way"
        ways = [" and ".join(map(self.words.buyer, stops)) for stops in one.instead]
        return f": to {', then '.join(ways)}" if ways else ": stay home"

    def notes(self) -> None:
        """Defaults and doubts, each named."""
        if not self.plan.notes:
            return
        self.title("Notes")
        for note in self.plan.notes:
            self.indented(note)
