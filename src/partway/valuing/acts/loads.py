"""Drive today, or wait until which day: what the bins alone would bring, by the rule that every plan goes by.

What is opened first and several stops of one trip are the plan's to add: it can only bring more.
"""

from __future__ import annotations

from dataclasses import replace

from partway.planning.decision import Decision
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.things.scenario import Scenario
from partway.valuing.acts.act import Act
from partway.valuing.plans.go import Ahead

SOON = 14  # days looked ahead: who waits longer has nothing to do about it today (our own choice)


def load(scenario: Scenario) -> tuple[Act, ...]:
    """The load that is worth its trip today, or the day within two weeks on which one will be; nothing where neither.

    `scenario` has what is in the bins and what comes in each week; its finds are left out.
    """
    if scenario.vehicle is None or not scenario.stock:
        return ()
    instance = _without_tours(scenario)
    ahead = Ahead(instance, _all_kept(instance))
    closed = {instance.buyers[i].id for i in instance.opening.closed}
    today = [(ahead.load(b, 0)[1], i, b) for i, b in enumerate(ahead.buyers) if b.id not in closed]
    gain, _, buyer = max(today, default=(0.0, 0, None))
    if buyer is not None and gain > 0.0:
        hours, worth = ahead.hours(buyer), ahead.load(buyer, 0)[0]
        minutes = 60.0 * hours
        rate = (worth + scenario.hours.wage * hours) / minutes if minutes else None
        return (Act("go", buyer.id, buyer=buyer.id, worth=worth, minutes=minutes, per_minute=rate),)
    wait = ahead.wait(SOON) if ahead.buyers else None
    if wait is None or wait.code != "pays-by":
        return ()
    return (Act("wait", wait.buyer or "", buyer=wait.buyer or "", worth=wait.later, by=wait.by),)


def _without_tours(scenario: Scenario) -> Instance:
    """The instance with its roads: which tours there are is of no matter for one trip to one buyer."""
    stays = replace(scenario, finds=(), hours=replace(scenario.hours, trips=0))
    return replace(build(stays), scenario=replace(scenario, finds=()))


def _all_kept(instance: Instance) -> Decision:
    """Nothing is opened, sold or driven anywhere."""
    kept = {g: kg for g, kg in enumerate(instance.stock) if kg > 0.0}
    return Decision((), (), (), (), {}, {}, kept, (), {})
