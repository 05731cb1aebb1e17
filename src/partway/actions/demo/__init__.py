"""An invented workspace of several months in a made-up harbour town, made by replaying the actions with a seed."""

from partway.actions.demo.months import demo_months

__all__ = ["demo_months"]
