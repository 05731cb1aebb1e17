"""Small days at the bench for reports: stock, perhaps motors to open, two yards. Invented."""

from __future__ import annotations

import datetime as dt

from partway.things.anatomy import Anatomy, Gives, Operation, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
METALS = {"copper": 7.0, "brass": 4.0, "iron": 0.3}


def bench_day(quotes: dict[str, dict[str, float]], stock: dict[str, float], motors: int = 0) -> Scenario:
    """Stock and perhaps motors, two yards a few km apart, nothing kept counts for anything.

    A motor of 1 kg opens in 6 minutes, 10 an hour, into 0.2 kg of copper and 0.8 kg of iron.
    """
    pieces = (
        Piece("motor", "motor", Estimate.exact(1.0), (SaleAs("iron"),)),
        Piece("winding", "winding", Estimate.exact(0.2), (SaleAs("copper"),)),
        Piece("core", "core", Estimate.exact(0.8), (SaleAs("iron"),)),
    )
    opened = Operation("open", "open", "motor", Estimate.exact(6.0), (Gives("winding"), Gives("core")))
    far = {"harbour-yard": 4.0, "ridge-yard": 9.0}
    return Scenario(
        name="bench day",
        currency="CAD",
        on=DAY,
        hours=Hours(bench=9.0, away=9.0, wage=10.0),
        vehicle=Vehicle(payload_kg=500.0, cost_per_km=0.4),
        buyers=tuple(
            Buyer(
                b,
                "yard",
                km=far[b],
                minutes=10.0,
                quotes=tuple(Quote(g, Estimate.exact(p), DAY) for g, p in row.items()),
            )
            for b, row in quotes.items()
        ),
        finds=(Find("motor", motors, "no"),) if motors else (),
        stock=stock,
        grades={g: Grade(g, g, "metal", Estimate.exact(1.0)) for g in METALS},
        anatomies={"motor": Anatomy("motor", "motor", pieces, (opened,))},
        keep_factor=0.0,
    )


TWO_YARDS = {"harbour-yard": METALS, "ridge-yard": {"copper": 7.6, "brass": 3.5}}
DAYS = {
    "one yard": bench_day({"harbour-yard": METALS}, {"copper": 6.0, "brass": 4.0, "iron": 40.0}),
    "two yards": bench_day(TWO_YARDS, {"copper": 30.0, "brass": 12.0, "iron": 60.0}),
    "a lot that pays for the drive": bench_day({"ridge-yard": METALS}, {"copper": 3.0}),
    "opened for it": bench_day({"harbour-yard": METALS}, {"iron": 40.0}, motors=10),
    "stock and opened for it": bench_day({"harbour-yard": METALS}, {"copper": 10.0, "iron": 40.0}, motors=20),
}
