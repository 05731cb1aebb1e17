"""How common each material is where a piece comes from: the catalogue's shares and the pieces confirmed since.

Shares are a Dirichlet prior that weighs as much as `weight` pieces; a confirmed piece adds one to its material. The
chance that the next piece is of a material is the mean of the posterior, (a + n) / (sum of a + sum of n).
"""

from __future__ import annotations

from collections.abc import Mapping

from partway.things.testkey import KeyContext, MaterialKey


def shares(key: MaterialKey, context: KeyContext, confirmed: Mapping[str, int]) -> dict[str, float]:
    """The share of each material of the context, or confirmed in it, in the key's order; they sum to 1."""
    counts = {
        name: context.shares.get(name, 0.0) * context.weight + confirmed.get(name, 0)
        for name, material in key.materials.items()
        if material.group == context.group
    }
    total = sum(counts.values())
    return {name: count / total for name, count in counts.items() if count > 0.0}
