"""The curb as pages: the kinds that pay best, and the verdict on one of them."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from partway.actions.recording.describe import Say
from partway.cli.careful import Careful
from partway.cli.words import MORE, few, in_ten, minutes, sentence
from partway.quantities import out_of
from partway.reports.curb.curb import Curb, CurbEnd, CurbWay, Ranking, RankLine
from partway.reports.curb.verdict_words import VERDICTS
from partway.valuing.finds.curb import World
from partway.valuing.finds.verdict import Hinge

CONDITION = {"yes": "it works", "no": "it does not work", "unknown": "nobody knows if it works"}
SHOWN = 15  # kinds of the list; --json has all
NAMED = 8


def show_ranking(console: Console, ranking: Ranking, say: Say, *, by: str) -> None:
    """A row a kind, what can hurt before its money; then what is left out and why."""
    lines = ranking.by_space if by == "space" else ranking.lines
    console.print(f"Worth stopping for at today's quotes: money by {'litre of van' if by == 'space' else 'hour'}")
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    for column in ("", "careful", "verdict", "brings", "an hour", "time", "to lift"):
        right = column in ("brings", "an hour", "time", "to lift")
        table.add_column(column, justify="right" if right else "left", no_wrap=not column)
    for line in lines[:SHOWN]:
        table.add_row(*_row(line, say))
    console.print(table)
    if len(lines) > SHOWN:
        console.print(f"and {len(lines) - SHOWN} more kinds; partway curb KIND says of each what to do")
    for title, names in (
        ("Whole to the depot, if at all", ranking.depot),
        ("Nobody quotes what is in", ranking.unknown),
        ("Leave", ranking.left),
    ):
        if names:
            console.print(Text(f"{title}: {_some([name for _, name in names])}."))
    if any(line.estimated for line in lines):
        console.print("≈: some price in it is estimated from one, that of No. 2 copper.")
    if ranking.wage == 0.0:
        console.print("No wage is set, so your hours count as free: partway set wage MONEY.")
    console.print(MORE)


def _row(line: RankLine, say: Say) -> tuple[str, ...]:
    more = f", {line.cautions - 1} more" if line.cautions > 1 else ""
    verdict = {"take": "take", "if-works": "if it works"}.get(line.verdict, line.verdict)
    about = "≈ " if line.estimated else ""
    money = f"{about}{say.about(line.money.expected)}"
    return (
        line.name,
        f"{line.caution}{more}",
        verdict,
        money,
        say.about(line.per_hour),
        minutes(line.minutes),
        say.kg(line.kg),
    )


def _some(names: list[str]) -> str:
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return f"{', '.join(names[:NAMED])}{more}"


def show_curb(console: Console, it: Curb, say: Say, careful: Careful) -> None:
    """What can hurt, the verdict, its money, and what it hangs on."""
    page = _Page(console, it, say)
    page.cautions(careful)
    page.verdict()
    page.condition()
    page.hangs_on()
    page.ways()
    page.notes()


class _Page:
    def __init__(self, console: Console, it: Curb, say: Say) -> None:
        self.console, self.it, self.say = console, it, say

    def line(self, text: str, by: int = 2) -> None:
        self.console.print(Padding(Text(text), (0, 0, 0, by), expand=False))

    def cautions(self, careful: Careful) -> None:
        """Hazards first."""
        if not self.it.cautions:
            return
        whole, again = careful.split(self.it.cautions)
        self.console.print(Text("FIRST: WHAT CAN HURT", style="bold"))
        for card in whole:
            self.console.print(
                Padding(Text.assemble((card.name, "bold"), f": {card.first_and_never}"), (0, 0, 0, 2), expand=False)
            )
        if again:
            self.line(again)
        self.line(MORE)
        self.console.print()

    def verdict(self) -> None:
        """What to do, and the money it rests on."""
        it, say = self.it, self.say
        self.console.print(Text.assemble((f"{it.name}: {VERDICTS[it.verdict]}.", "bold"), f" ({CONDITION[it.works]})"))
        if it.note:
            self.line(it.note)
        if it.shut:
            place = (
                f"Taken whole by {it.place}." if it.place else "No buyer of yours is known to take it: ask the town."
            )
            self.line(f"It stays shut: {it.shut.lower()}. {place}")
        if it.shown is None:
            self.line(f"{say.kg(it.size.kg)} to lift. Ask a buyer for a price: unknown is not nothing.")
            return
        self.line(self._money(it.shown))
        litres = f", about {it.size.litres:.0f} L of van" if it.size.litres else ""
        self.line(f"{minutes(it.shown.minutes)} of your time, {say.kg(it.size.kg)} to lift{litres}.")

    def _money(self, shown: World) -> str:
        say, money = self.say, shown.money
        if money.nothing:
            return "Nobody here pays for it."
        when = {"tested": ", tested first", "yes": ", if it works" if self.it.works != "yes" else ""}.get(
            shown.works, ""
        )
        between = f", mostly {say.about(money.low)} to {say.about(money.high)}" if money.varies else ""
        return f"{say.about(money.expected)} on average{when}{between}; {say.about(shown.per_hour)} an hour."

    def condition(self) -> None:
        """What is known of whether it works, and what to look for first."""
        it = self.it
        if it.works != "unknown" or it.chance_works is None:
            return
        tests = f"{it.tests_of_kind} tested by you" if it.tests_of_kind else "by your tests of other kinds"
        source = tests if it.tests_of_all else "from memory"
        seen = f", with {it.seen}" if it.seen else ""
        self.line(f"{sentence(in_ten(it.chance_works))} work{seen} ({source}).")
        if it.look is not None:
            self.line(f"Look first: {it.look.ask} --sign {it.look.sign}, or --sign=-{it.look.sign} where it is not so.")
        unseen = [sign for sign, _ in it.signs if sign not in it.seen]
        if unseen:
            self.line(f"Other signs: {', '.join(unseen)}." if it.look else f"Signs: {', '.join(unseen)}.")

    def hangs_on(self) -> None:
        """What turns the verdict over."""
        if not self.it.hinges:
            return
        self._title("What it hangs on")
        for hinge in self.it.hinges:
            self.line(self._hinge(hinge))

    def _hinge(self, hinge: Hinge) -> str:
        then = VERDICTS[hinge.becomes].lower() if hinge.becomes else ""
        if hinge.what == "works":
            brings = f" ({self.say.about(self.it.if_works.money.expected)})" if self.it.if_works else ""
            return f"Whether it works: if it does{brings}, {then}."
        if hinge.what == "sale":
            return f"Somebody wanting it as {hinge.name}: {out_of(hinge.chance or 0.0)} sell."
        today, flip = self.say.price(hinge.today or 0.0), self.say.price(hinge.flip or 0.0)
        postage = ", postage to be paid out of it" if hinge.includes_postage else ""
        return f"{hinge.name}: {today} today{postage}; at {flip}, {then}."

    def ways(self) -> None:
        """What it would take."""
        it = self.it
        if it.shown is None:
            return
        ways = {"yes": [("", it.way_if_works)], "tested": [("If it works", it.way_if_works), ("If not", it.way_if_not)]}
        for title, way in ways.get(it.shown.works, [("", it.way_if_not)]):
            if way is not None:
                self._title(f"What it would take. {title}" if title else "What it would take")
                self._way(way)

    def _way(self, way: CurbWay) -> None:
        for number, step in enumerate(way.opens, 1):
            self.line(f"{number}. {sentence(step)}")
        if way.whole:
            self.line("Nothing is opened.")
        for end in way.ends:
            self.line(self._end(end))

    def _end(self, end: CurbEnd) -> str:
        count = f"{end.count} × " if end.count > 1 else ""
        to = {
            "part": f"sold by the unit: {end.to}",
            "stop": "stays shut",
            "keep": "kept for a better price" if end.value > 0 else "nobody here pays for it",
        }.get(end.outlet, f"{end.to}{f', {end.buyer}' if end.buyer else ''}")
        some = f", in {out_of(end.only_if.share)}" if end.only_if else ""
        return f"{self.say.money(end.value):>9}  {count}{end.name}{some}, {self.say.kg(end.mass_kg)}: {to}"

    def notes(self) -> None:
        """What is not counted, and what was taken as given."""
        it, found = self.it, []
        if it.unquoted:
            found.append(f"Nobody quotes {few(it.unquoted)}: what that would bring is not counted.")
        if it.estimated:
            found.append(f"Estimated from the price of No. 2 copper alone: {few(it.estimated)}.")
        if it.hours_free:
            found.append("No wage is set, so your hours count as free: partway set wage MONEY.")
        if found or it.notes:
            self._title("Notes")
        for note in (*found, *it.notes):
            self.line(note)

    def _title(self, text: str) -> None:
        self.console.print()
        self.console.print(Text(text.upper(), style="bold"))
