"""How a yard's scale stands to one's own, in words."""

from __future__ import annotations

from partway.valuing.trips.yard_bias import YardBias


def bias_words(bias: YardBias | None) -> str:
    """A sentence; "" where too few tickets were weighed to say anything."""
    if bias is None:
        return ""
    over = f"over {bias.tickets} tickets"
    if bias.light:
        return f"This yard has read {_percent(-bias.share)} light {over} ({_range(-bias.high, -bias.low)})."
    if bias.heavy:
        return f"This yard has read {_percent(bias.share)} heavy {over} ({_range(bias.low, bias.high)})."
    return f"This yard reads as I do {over}: {_percent(bias.share, sign=True)} ({_signed(bias.low, bias.high)})."


def _percent(share: float, *, sign: bool = False) -> str:
    return f"{share * 100.0:{'+' if sign else ''}.1f} %".replace("-", "\N{MINUS SIGN}")


def _range(low: float, high: float) -> str:
    return f"{low * 100.0:.1f} to {high * 100.0:.1f} %"


def _signed(low: float, high: float) -> str:
    return f"{low * 100.0:+.1f} to {high * 100.0:+.1f} %".replace("-", "\N{MINUS SIGN}")
