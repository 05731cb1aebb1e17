"""How many lines of photographed price boards and tickets are read rightly, or asked about, and how many wrongly.

Boards and tickets are invented and drawn here with a seed: letters of several fonts, light that falls off, noise,
creases, up to 3 degrees askew, kept as a telephone keeps them. Half of them ("open") may be looked at while the reader
is worked on; the other half ("kept") is for the end. Needs the extra `reading`:

    python benchmarks/read_photographs.py open|kept [show]
    python benchmarks/read_photographs.py tickets-open|tickets-kept [show]

The second reads tickets alone into the lines of a ticket's form: right where grade, mass, price and amount are those
that were drawn and nothing is said of the line, asked about where something is, whatever the fields hold then.

A line is right where grade, price and unit are those that were drawn, asked about where the preview puts a question,
and otherwise wrong or missing; nothing of it is saved before somebody has looked at it.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

SHEETS, SEED = 48, 18
COLUMN = "\t"  # between the columns of a ticket, which stand below each other
FONTS = Path("/usr/share/fonts/truetype/dejavu")
FACES = ("DejaVuSans.ttf", "DejaVuSansMono.ttf", "DejaVuSerif.ttf", "DejaVuSans-Bold.ttf", "DejaVuSansCondensed.ttf")
NAMES = {  # as they are drawn: the grade, and about what a pound of it is worth (invented)
    "No. 1 copper": ("copper-1", 4.20), "No. 2 copper": ("copper-2", 3.90),
    "Bare bright copper": ("copper-bare-bright", 4.40), "Yellow brass": ("brass-yellow", 2.40),
    "Red brass": ("brass-red", 2.80), "Alum extrusion": ("al-extrusion", 0.85), "Alum cans": ("al-cans", 0.60),
    "Cast aluminum": ("al-cast", 0.62), "304 stainless": ("stainless-304", 0.55), "Soft lead": ("lead-soft", 0.70),
    "Motors": ("motors", 0.40), "Car batteries": ("lead-acid", 0.28), "Sealed units": ("sealed-unit", 0.31),
    "Light iron": ("light-iron", 0.09),
}  # fmt: skip
HEADS = ("HARBOUR YARD", "RIDGE YARD", "TOWN DEPOT", "PRICES TODAY", "WE BUY")


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A line as it is drawn, left and right, and what it says."""

    left: str
    right: str
    grade: str
    price: Decimal
    unit: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One photograph, the lines in it, and the unit of whoever reads it: a bare price is per one of that."""

    content: bytes
    lines: tuple[DrawnLine, ...]
    unit: str


def sheets(half: str) -> Iterator[Sheet]:
    """Every second of them: "open" or "kept"."""
    for number in range({"open": 0, "kept": 1}[half], SHEETS, 2):
        yield sheet(Random(SEED * 1000 + number))


def sheet(chance: Random) -> Sheet:
    """One board or ticket, photographed."""
    home = "kg" if chance.random() < 0.2 else "lb"
    lines = [_line(chance, name, home, ticket=False) for name in chance.sample(sorted(NAMES), chance.randint(4, 9))]
    if chance.random() < 0.4:
        lines = [_line(chance, name, home, ticket=True) for name in chance.sample(sorted(NAMES), chance.randint(3, 6))]
    drawn = _photographed(chance, _drawn(chance, lines))
    out = BytesIO()
    drawn.save(out, "JPEG", quality=chance.randint(55, 90))
    return Sheet(out.getvalue(), tuple(lines), home)


def _line(chance: Random, name: str, home: str, *, ticket: bool) -> DrawnLine:
    grade, about = NAMES[name]
    price, unit = Decimal(str(round(about * chance.uniform(0.8, 1.2), 2))), "lb"
    if grade == "light-iron" and not ticket:
        price, unit = Decimal(chance.randint(120, 260)), "short ton"
    says = unit != "lb" or chance.random() < 0.6
    left = name.upper() if chance.random() < 0.3 else name
    right = f"{'$' if chance.random() < 0.3 else ''}{_money(price)}{f' /{unit}' if says else ''}"
    if ticket:
        pounds = Decimal(chance.randint(20, 900)) / 10
        right = f"{pounds} lb  {_money(price)} /lb  {pounds * price:.2f}"
    return DrawnLine(left, right, grade, price, unit if says or ticket else home)


def _money(price: Decimal) -> str:
    return f"{price:f}" if price > 100 else f"{price:.2f}"


def _drawn(chance: Random, lines: Sequence[DrawnLine]) -> Image.Image:
    """Dark on light as on paper, or light on dark as on a board."""
    size = chance.randint(30, 46)
    font = ImageFont.truetype(FONTS / chance.choice(FACES), size)
    step, left = int(size * chance.uniform(1.5, 2.1)), 60
    right = left + int(max(font.getlength(one.left) for one in lines)) + chance.randint(50, 160)
    parts = [one.right.split(COLUMN) for one in lines]
    gap, starts = chance.randint(40, 90) if len(parts[0]) > 1 else 0, [right]
    for column in range(max(map(len, parts))):
        wide = max(font.getlength(row[column]) for row in parts if len(row) > column)
        starts.append(starts[-1] + int(wide) + gap)
    width = starts[-1] - gap + 60
    ink, ground = ((235, 235, 225), (35, 50, 45)) if chance.random() < 0.3 else ((40, 38, 45), (238, 232, 220))
    image = Image.new("RGB", (width, step * (len(lines) + 3)), ground)
    draw = ImageDraw.Draw(image)
    draw.text((left, step // 2), chance.choice(HEADS), font=font, fill=ink)
    for row, one in enumerate(lines, 2):
        draw.text((left, step * row), one.left, font=font, fill=ink)
        said = one.right.split(COLUMN)
        for at, part in zip(starts[-1 - len(said) : -1], said, strict=True):  # a total stands below the amounts
            draw.text((at, step * row), part, font=font, fill=ink)
    return image


def _photographed(chance: Random, image: Image.Image) -> Image.Image:
    """Creased, askew, lit from one side, a little out of focus and grainy."""
    width, height = image.size
    draw = ImageDraw.Draw(image, "RGBA")
    for _ in range(chance.randint(0, 3)):
        ends = (chance.randint(0, width), 0, chance.randint(0, width), height)
        draw.line(ends, fill=(120, 115, 110, 110), width=chance.randint(1, 3))
    image = image.rotate(chance.uniform(-3, 3), Image.Resampling.BICUBIC, expand=True, fillcolor=(105, 98, 90))
    light = Image.linear_gradient("L").rotate(chance.choice((0, 90, 180, 270))).resize(image.size)
    light = light.point([int(255 - (255 - n) * 0.5) for n in range(256)])
    image = ImageChops.multiply(image, Image.merge("RGB", [light] * 3))
    image = image.filter(ImageFilter.GaussianBlur(chance.uniform(0, 1.2)))
    return ImageChops.add(image, _grain(chance, image.size), 1, -128)


def _grain(chance: Random, size: tuple[int, int]) -> Image.Image:
    """Noise about a middle grey, the same for the same seed."""
    strength, patch = chance.uniform(4, 18), 128
    values = bytes(max(0, min(255, int(chance.gauss(128, strength)))) for _ in range(patch * patch))
    tile, grain = Image.frombytes("L", (patch, patch), values), Image.new("L", size)
    for x in range(0, size[0], patch):
        for y in range(0, size[1], patch):
            grain.paste(tile, (x, y))
    return Image.merge("RGB", [grain] * 3)


def judged(drawn: Sheet, text: str) -> dict[DrawnLine, str]:
    """What became of each line: right, asked, wrong or missing. A price that was drawn nowhere makes a line of its own
    wrong.
    """
    from partway.catalogue import shipped
    from partway.pricelist import read_price_list

    read = [one for one in read_price_list(text, shipped().grades, "CAD", drawn.unit, {}) if one.status != "remark"]
    fates: dict[DrawnLine, str] = {}
    for line in drawn.lines:
        of = [one for one in read if one.grade == line.grade]
        said = [(one.price, one.unit) for one in of if not one.question]
        fates[line] = (
            "right" if said == [(line.price, line.unit)]
            else "wrong" if said
            else "asked" if of or any(one.question and one.grade is None for one in read)
            else "missing"
        )  # fmt: skip
    known = {line.grade for line in drawn.lines}
    for one in read:
        if one.status == "understood" and one.grade not in known:
            fates[DrawnLine(one.text, "", one.grade or "", one.price or Decimal(0), one.unit)] = "wrong"
    return fates


@dataclass(frozen=True, slots=True)
class TicketSheet:
    """The photograph of a ticket, its lines as they are drawn, and grade, mass, price and amount of each."""

    content: bytes
    lines: tuple[tuple[str, str, Decimal, Decimal, Decimal], ...]
    total: Decimal


def tickets(half: str) -> Iterator[TicketSheet]:
    """Every second of them: "open" or "kept"."""
    for number in range({"open": 0, "kept": 1}[half], SHEETS, 2):
        yield ticket(Random(SEED * 5000 + number))


def ticket(chance: Random) -> TicketSheet:
    """One ticket of some lines with its total: with and without units, gross and tare before the net on some."""
    says, weighs, signs = chance.random() < 0.6, chance.random() < 0.3, chance.random() < 0.3
    drawn: list[DrawnLine] = []
    lines: list[tuple[str, str, Decimal, Decimal, Decimal]] = []
    for name in chance.sample(sorted(NAMES), chance.randint(2, 7)):
        grade, about = NAMES[name]
        net = Decimal(chance.randint(20, 4000)) / 10
        price = Decimal(str(round(about * chance.uniform(0.8, 1.2), 2)))
        amount = (net * price).quantize(Decimal("0.01"))
        tare = Decimal(chance.randint(5, 90)) / 10
        before = f"{net + tare:.1f}{COLUMN}{tare:.1f}{COLUMN}" if weighs else ""
        sign, lb, per = "$" if signs else "", " lb" if says else "", " /lb" if says else ""
        left = name.upper() if chance.random() < 0.3 else name
        figures = f"{net:.1f}{lb}{COLUMN}{sign}{price:.2f}{per}{COLUMN}{sign}{amount:.2f}"
        drawn.append(DrawnLine(left, f"{before}{figures}", grade, price, "lb"))
        lines.append((left, grade, net, price, amount))
    total = sum((line[4] for line in lines), Decimal(0))
    drawn.append(DrawnLine("TOTAL", f"{total:.2f}", "", total, ""))
    out = BytesIO()
    _photographed(chance, _drawn(chance, drawn)).save(out, "JPEG", quality=chance.randint(55, 90))
    return TicketSheet(out.getvalue(), tuple(lines), total)


def ticket_judged(drawn: TicketSheet, text: str) -> dict[str, str]:
    """What became of each line: right, asked, wrong or missing. A line that was drawn nowhere is wrong."""
    from partway.catalogue import shipped
    from partway.pricelist.tickets.rows import read_ticket

    found = read_ticket(text, shipped().grades, "CAD", "lb")
    sure = [
        (row.grade, Decimal(row.mass.split()[0]), Decimal(row.price.split()[0]), Decimal(row.amount))
        for row in found.rows
        if not row.doubts
    ]
    fates: dict[str, str] = {}
    doubted = sum(bool(row.doubts) for row in found.rows)
    for name, *line in drawn.lines:
        if tuple(line) in sure:
            fates[name] = "right"
            sure.remove(tuple(line))
    for name, grade, *_ in drawn.lines:
        if name in fates:
            continue
        if any(one[0] == grade for one in sure):
            fates[name] = "wrong"
            sure = [one for one in sure if one[0] != grade]
        elif doubted:
            fates[name], doubted = "asked", doubted - 1
        else:
            fates[name] = "missing"
    return fates | {f"never drawn: {one}": "wrong" for one in sure}


def ticket_main(half: str, show: str = "") -> None:
    """The same of tickets, and how many totals were read."""
    from partway.catalogue import shipped
    from partway.photographs.reading import text_in
    from partway.pricelist.tickets.rows import read_ticket

    counts: Counter[str] = Counter()
    totals: Counter[str] = Counter()
    for number, drawn in enumerate(tickets(half)):
        text = text_in(drawn.content)
        fates = ticket_judged(drawn, text)
        counts.update(fates.values())
        said = read_ticket(text, shipped().grades, "CAD", "lb").total
        totals["right" if said == f"{drawn.total:.2f}" else "wrong" if said else "not read"] += 1
        if show and set(fates.values()) - {"right"}:
            print(number, {name: fate for name, fate in fates.items() if fate != "right"}, text, sep="\n")
    lines = sum(counts.values())
    good = counts["right"] + counts["asked"]
    print(f"tickets {half}: {lines} lines, {dict(counts)}: {good / lines:.1%} right or asked; totals {dict(totals)}")


def main(half: str = "open", show: str = "") -> None:
    """Read one half and print what became of its lines."""
    from partway.photographs.reading import text_in

    counts: Counter[str] = Counter()
    for number, drawn in enumerate(sheets(half)):
        text = text_in(drawn.content)
        fates = judged(drawn, text)
        counts.update(fates.values())
        for line, fate in fates.items():
            if show and fate not in ("right",):
                print(f"{number}: {fate}: {line.left} | {line.right}")
        if show and {"wrong", "missing"} & set(fates.values()):
            print(text)
    total = sum(counts.values())
    good = counts["right"] + counts["asked"]
    print(f"{half}: {total} lines, {dict(counts)}: {good / total:.1%} right or asked")


if __name__ == "__main__":
    chosen, *more = sys.argv[1:] or ["open"]
    if chosen.startswith("tickets-"):
        ticket_main(chosen.removeprefix("tickets-"), *more)
    else:
        main(chosen, *more)
