"""How far to open one find, as a page."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from partway.cli.haul.page.sheet import CONDITION
from partway.cli.words import MORE, PageWords, answered, minutes, sentence, times
from partway.quantities import out_of
from partway.reports.bench.depth import Depth, DepthStep, End
from partway.things.anatomy import step_of
from partway.things.scenario import Scenario


def show_depth(console: Console, depth: Depth, scenario: Scenario) -> None:
    """Print the whole page: cautions, verdict, steps with their break-evens, ends, chances."""
    page = _Page(console, depth, PageWords(scenario))
    page.cautions()
    page.verdict()
    page.steps()
    page.ends()
    page.test_first()
    page.notes()


class _Page:
    def __init__(self, console: Console, depth: Depth, words: PageWords) -> None:
        self.console, self.depth, self.words = console, depth, words
        self.told: set[str] = set()  # notes of pieces, each once

    def title(self, text: str) -> None:
        self.console.print()
        self.console.print(Text(text.upper(), style="bold"))

    def indented(self, text: str | Text, by: int = 2) -> None:
        self.console.print(Padding(text if isinstance(text, Text) else Text(text), (0, 0, 0, by), expand=False))

    def cautions(self) -> None:
        """Hazards first."""
        if self.depth.cautions:
            self.console.print(Text("FIRST: WHAT CAN HURT", style="bold"))
            for caution in self.depth.cautions:
                self.indented(Text.assemble((caution.name, "bold"), f": {caution.first_and_never}"))
            self.indented(MORE)
            self.console.print()

    def verdict(self) -> None:
        """The answer with its money and range."""
        depth, words = self.depth, self.words
        about = f"{words.mass(depth.mass_kg)}, {CONDITION[depth.works]}, an hour worth {words.money(depth.wage)}"
        self.console.print(Text.assemble((depth.name, "bold"), f" ({about})"))
        if depth.note:
            self.indented(depth.note)
        opened = any(step.chosen for step in depth.steps)
        tested = depth.test_first is not None and depth.test_first.worth_it
        answer = "Test it first" if tested else "Open it" if opened else sentence(depth.verdict)
        self.console.print(
            Text.assemble(
                (answer, "bold"),
                f": worth {words.money(depth.value)} after your hours, 8 times in 10 between "
                f"{words.plain(depth.chances.low)} and {words.plain(depth.chances.high)}.",
            )
        )
        if opened and depth.per_hour is not None:
            self.indented(f"As it is: {words.money(depth.as_is)} ({self._named(depth.as_is_how)}).")
            doing = "Testing it and what follows" if tested else "Opening"
            self.indented(f"{doing} takes {minutes(depth.minutes)} and brings {words.money(depth.per_hour)} an hour.")
        if depth.chances.opening_wins is not None:
            wins, draws = depth.chances.opening_wins, depth.chances.draws
            self.indented(f"{'That' if tested else 'Opening'} beats leaving it in {wins:.0%} of {draws} draws.")

    def steps(self) -> None:
        """Operations that could be run from where one stands: the chosen ones, then the ones to leave.

        What is done after other steps is not one to leave.
        """
        done = {step_of(step.operation) for step in self.depth.steps if step.chosen}
        reached = [step for step in self.depth.steps if step.reached]
        reached = [step for step in reached if step.chosen or step_of(step.operation) not in done]
        for title, chosen in (("Do", True), ("Stop before", False)):
            steps = [step for step in reached if step.chosen == chosen]
            if steps:
                self.title(title)
            for step in steps:
                self._step(step)

    def _step(self, step: DepthStep) -> None:
        words = self.words
        rate = f"{words.money(step.per_hour)} an hour" if step.minutes > 0 else "no time"
        must = ", has to come first" if step.required else ""
        self.indented(
            Text.assemble(
                (sentence(answered(step.only_if) + step.name), "bold"),
                f" ({minutes(step.minutes)} with all that follows{must}): {rate}",
            )
        )
        if step.note:
            self.indented(step.note, by=4)
        compared = "better" if step.gain >= 0 else "worse"
        gain = f"{words.money(abs(step.gain))} {compared} than to {self._named(step.otherwise)}"
        self.indented(gain + self._flips(step), by=4)
        for answer in step.question.answers if step.question else ():
            to = self.words.grade(answer.grade) if answer.grade else "into no bin"
            said = f"if {answer.answer} ({out_of(answer.chance)}): {to}"
            self.indented(f"{said}, worth {self.words.plain(answer.value)} after your hours", by=4)

    def _flips(self, step: DepthStep) -> str:
        flips = []
        if step.flip_wage is not None:
            flips.append(f"an hour worth {self.words.plain(step.flip_wage)}")
        if step.flip_price is not None and step.flip_price.flip is not None:
            grade = self.words.grade(step.flip_price.grade)
            today = self.words.price(step.flip_price.today)
            postage = ", postage to be paid out of it" if step.flip_price.includes_postage else ""
            flips.append(f"{grade} at {self.words.price(step.flip_price.flip)} (today {today}{postage})")
        return f"; turns over with {' or '.join(flips)}" if flips else "; no wage or price turns it over"

    def _named(self, how: str) -> str:
        start = "sell as "
        return f"{start}{self.words.grade(how.removeprefix(start))}" if how.startswith(start) else how

    def ends(self) -> None:
        """Where each piece ends."""
        self.title("Where each piece ends")
        for end in self.depth.ends:
            self._end(end)

    def _end(self, end: End) -> None:
        where = {"sell": self.words.grade(end.to), "part": "sell as a part", "keep": "keep"}
        to = where.get(end.as_what) or (self.words.grade(end.to) if end.to else "keep")
        why = f" ({end.why})" if end.why else ""
        piece = times(end.count, end.name)
        some = f", in {out_of(end.only_if.share)}, on average" if end.only_if else ""
        self.indented(f"{self.words.plain(end.value):>8}  {piece}{some} {self.words.mass(end.mass_kg)} → {to}{why}")
        if end.note and end.note not in self.told:
            self.told.add(end.note)
            self.indented(end.note, by=12)

    def test_first(self) -> None:
        """Whether knowing the condition is worth its minutes."""
        test = self.depth.test_first
        if test is None:
            return
        words = self.words
        self.title("Test it first?")
        answer = "Yes" if test.worth_it else "No"
        self.indented(
            f"{answer}: {minutes(test.minutes)} of testing {'gains' if test.worth_it else 'loses'} "
            f"{words.money(abs(test.gain))} on average. One in {1 / test.chance_works:.1f} works; "
            f"worth {words.plain(test.value_if_works)} if so, {words.plain(test.value_if_not)} if not."
            if test.chance_works > 0
            else "No: it never works."
        )

    def notes(self) -> None:
        """Defaults and doubts."""
        if self.depth.notes:
            self.title("Notes")
            for note in self.depth.notes:
                self.indented(note)
