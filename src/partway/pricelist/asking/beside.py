"""What is not understood puts in doubt what it runs on from or into: that waits for its answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from partway.pricelist.asking.questions import LEAVE_OUT, quoted
from partway.pricelist.copying import replace
from partway.pricelist.lines import GradeChoice, PriceLine


def runs_on(lines: Sequence[PriceLine], at: int) -> bool:
    """Whether nothing parts a line from the one before it, in the same row."""
    return 0 < at < len(lines) and not lines[at].item.fresh and in_one_row(lines, at)


def in_one_row(lines: Sequence[PriceLine], at: int) -> bool:
    """Whether a line stands in the row of the one before it."""
    return 0 < at < len(lines) and lines[at].item.row == lines[at - 1].item.row


def refusals_asked(lines: Sequence[PriceLine]) -> list[PriceLine]:
    """The lines, a refusal behind a name asked about where a price follows without a break: in "brass not taps 3.20" it
    may be of what follows.
    """
    asked = list(lines)
    for at, line in enumerate(lines):
        behind = next((n for n in range(at + 1, len(lines)) if lines[n].item.start != line.item.start), len(lines))
        if not _refuses(line) or not _may_be_of(lines, behind, line):
            continue
        sure = GradeChoice("not taking", "not taking it", replace(line.item, sure=True))
        question = f"{quoted(line.text)}: is that refused, or what stands behind it?"
        asked[at] = replace(line, status="ambiguous", asks="price", question=question, choices=(sure, LEAVE_OUT))
    return asked


def _may_be_of(lines: Sequence[PriceLine], at: int, refusal: PriceLine) -> bool:
    """Whether a refusal may be of the line behind it, which has a price."""
    in_cells = in_one_row(lines, at) and lines[at].item.cell
    nameless = at < len(lines) and not lines[at].item.named
    runs = in_cells or (runs_on(lines, at) and (nameless or not refusal.item.refuses_first))
    return runs and bool(lines[at].item.prices)


def _refuses(line: PriceLine) -> bool:
    return line.status == "understood" and line.refuses and not line.item.sure


def neighbours_wait(lines: Sequence[PriceLine]) -> list[PriceLine]:
    """The lines, those beside one that is not understood waiting for its answer: of "1.50 frandle brass 2.40" neither
    price is sure as long as nobody said what a frandle is.
    """
    waiting = set(_beside_unknown(lines))
    return [replace(line, status="ambiguous", asks="with") if at in waiting else line for at, line in enumerate(lines)]


def _fails(line: PriceLine) -> bool:
    """Whether nobody knows what a line is of, or what its words say."""
    if line.asks == "grade" and line.candidates:
        return line.candidates[0][1] < 1.0 and not line.nearly
    return line.status == "unknown" and line.asks in {"grade", "rest"}


def _half_a_name(lines: Sequence[PriceLine], at: int) -> int | None:
    """The line before, where this one is asked about and may be the rest of that one's name: "#1 4.20 copper 4.40"."""
    line, before = lines[at], lines[at - 1] if at else None
    if before is None or line.asks != "grade" or line.sheet is None:
        return None
    if before.status != "understood" or before.item.sure:
        return None
    if not runs_on(lines, at) or not (before.item.words and line.item.words):
        return None
    together = line.sheet.lexicon.surely((*before.item.words, *line.item.words))
    return at - 1 if together and not line.sheet.lexicon.surely(before.item.words) else None


def _beside_unknown(lines: Sequence[PriceLine]) -> Iterator[int]:
    for at, line in enumerate(lines):
        if (one := _half_a_name(lines, at)) is not None:
            yield one
        if not _fails(line):
            continue
        nameless = bool(line.item.prices) and not line.item.named
        before = runs_on(lines, at) or (nameless and in_one_row(lines, at))
        behind = runs_on(lines, at + 1) and line.asks == "grade"
        for other in (at - 1,) * before + (at + 1,) * behind:
            if lines[other].status == "understood" and not lines[other].item.sure:
                yield other
