"""The bench on a printed plan: what is opened and where to stop, what is left whole, which parts to list."""

from __future__ import annotations

from rich.text import Text

from partway.cli.haul.page.sheet import CONDITION, PlanSheet, table_of
from partway.cli.haul.page.why import show_why
from partway.cli.words import answered, hours, in_some, minutes, times
from partway.reports.haul.plan_lines import EndLine, FindLine, OpenLine


def show_opened(sheet: PlanSheet, most: int | None = None) -> None:
    """Find by find, best money per hour first; operations in working order, then where each piece ends."""
    opened = [find for find in sheet.plan.finds if find.open]
    if not opened:
        return
    sheet.title("At the bench, best money per hour first")
    for find in opened[:most]:
        _find(sheet, find)


def _find(sheet: PlanSheet, find: FindLine) -> None:
    each = f"{sheet.words.mass(find.mass_kg)} each" if find.count > 1 else sheet.words.mass(find.mass_kg)
    rate = f"{sheet.words.money(find.per_hour)} an hour" if find.per_hour is not None else ""
    head = f" ({each}, {CONDITION[find.works]})  {hours(find.minutes / 60.0)}  {rate}"
    sheet.indented(Text.assemble((times(find.count, find.name), "bold"), head))
    for number in find.open:
        _operation(sheet, sheet.lines[number], find)
    if find.left_whole:
        sheet.indented(f"leave {find.left_whole} of {find.count} whole", by=6)
    _ends(sheet, find)


def _operation(sheet: PlanSheet, line: OpenLine, find: FindLine) -> None:
    many = "" if line.times == line.of else f" ({line.times} of {line.of})"
    said = answered(line.only_if) + line.name
    sheet.indented(f"{line.line:>3}  {said}{many}, {minutes(line.minutes)}", by=2)
    if line.advice:
        sheet.indented(line.advice, by=7)
    if line.note:
        sheet.indented(line.note, by=7, style="dim")
    show_why(sheet, line.why)


def _ends(sheet: PlanSheet, find: FindLine) -> None:
    """Where to stop, bin by bin: heaviest bin first, then what is listed and what is kept."""
    bins: dict[str, list[EndLine]] = {}
    for end in find.ends:
        where = {"grade": sheet.words.grade(end.to), "part": "to sell as parts", "keep": "keep as it is"}
        bins.setdefault(where[end.outlet], []).append(end)
    for name, ends in sorted(bins.items(), key=lambda item: -sum(end.mass_kg for end in item[1])):
        mass = sheet.words.mass(sum(end.mass_kg for end in ends))
        sheet.indented(f"→ {name}, {mass}: {', '.join(map(_end, ends))}", by=7)


def _end(end: EndLine) -> str:
    stop = " (stays shut)" if end.stop else f" ({in_some(end.only_if)[2:]})" if end.only_if else ""
    return f"{times(end.count, end.name[:1].lower() + end.name[1:])}{stop}"


def show_whole(sheet: PlanSheet) -> None:
    """Finds that nothing is done to."""
    left = [find for find in sheet.plan.finds if not find.open]
    if not left:
        return
    sheet.title("Leave whole")
    for find in left:
        sheet.indented(Text.assemble((times(find.count, find.name), "bold"), f" ({CONDITION[find.works]})"))
        _ends(sheet, find)


def show_parts(sheet: PlanSheet) -> None:
    """Parts to list."""
    if not sheet.plan.parts:
        return
    sheet.title("Sell as parts")
    table = table_of("", "part", "asking", "chance", "within", "expected")
    for line in sheet.plan.parts:
        table.add_row(
            str(line.line),
            f"{times(line.units, line.name)}{in_some(line.only_if)} ({sheet.words.kind(line.kind)})",
            sheet.words.plain(line.price),
            f"{line.chance:.0%}",
            f"{line.days:.0f} days",
            sheet.words.plain(line.expected),
        )
    sheet.console.print(table)
    for line in sheet.plan.parts:
        show_why(sheet, line.why, str(line.line))
