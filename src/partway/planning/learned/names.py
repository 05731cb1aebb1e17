"""Columns of one programme found again in another of the same scenario, by their names."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence


def same_as(old: Sequence[str], new: Sequence[str]) -> Sequence[int | None]:
    """Numbers of names among others, the second of one name being the second there; None where there is none."""
    if old == new:
        return range(len(old))
    once = {name: i for i, name in enumerate(new)}
    if len(once) == len(new) and len(set(old)) == len(old):
        return [once.get(name) for name in old]
    there = {key: i for i, key in enumerate(_keys(new))}
    return [there.get(key) for key in _keys(old)]


def _keys(names: Sequence[str]) -> list[tuple[str, int]]:
    often: Counter[str] = Counter()
    keys = []
    for name in names:
        keys.append((name, often[name]))
        often[name] += 1
    return keys
