"""How far what was typed with a thumb is from a word: its beginning, or slips to other keys."""

from __future__ import annotations

from functools import cache, lru_cache

ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
BESIDE = 0.5  # a slip to the key next to the one that was meant
SLIPS = ((3, 1.0), (7, 2.0))  # from so many letters on, so many slips are forgiven
BEGINNING = 0.5  # the start of a word, rather than all of it
NO = 99.0


def starts(typed: str, word: str) -> float:
    """0 for the word itself, a little for its beginning."""
    return 0.0 if word == typed else BEGINNING if word.startswith(typed) else NO


@lru_cache(maxsize=8192)
def slips(typed: str, word: str) -> float:
    """Slips between what was typed and a word or its beginning, as many as its length forgives."""
    allowed = _allowed(len(typed))
    if not allowed or opens_with(word).isdisjoint(typed[:2]):
        return starts(typed, word)
    meant = word[: len(typed) + 2]
    if len(typed) - len(word) > allowed or _too_far(typed, meant, allowed):
        return NO
    row = slipped(typed, meant, allowed)
    ends = [slips + (0.0 if at == len(word) else BEGINNING) for at, slips in enumerate(row) if slips <= allowed]
    return min(ends, default=NO)


@cache
def _allowed(letters: int) -> float:
    """So many slips are forgiven in a word of so many letters."""
    return max((slips for least, slips in SLIPS if letters >= least), default=0.0)


@lru_cache(maxsize=4096)
def opens_with(word: str) -> frozenset[str]:
    """Letters of which one is among the first two of whoever meant the word."""
    return frozenset({*word[:2], *_beside(word[0])}) if word else frozenset()


def _too_far(typed: str, meant: str, allowed: float) -> bool:
    """Whether there are too many letters for sure: one that the word has not so often is a slip, or half, with a key
    beside it there.
    """
    left, least = meant, 0.0
    for letter in typed:
        rest = left.replace(letter, "", 1)
        if len(rest) < len(left):
            left = rest
            continue
        least += 1.0 if _keys_beside(letter).isdisjoint(meant) else BESIDE
        if least > allowed:
            return True
    return False


@cache
def _keys_beside(letter: str) -> frozenset[str]:
    return frozenset(_beside(letter))


@lru_cache(maxsize=4096)
def slipped(typed: str, meant: str, most: float = NO) -> tuple[float, ...]:
    """Slips between a word and every beginning of another: a letter missing, extra, wrong or swapped is one.

    A key beside the right one is half of it. Optimal string alignment: Damerau, "A technique for computer detection
    and correction of spelling errors", Communications of the ACM 7, 1964. Where there are more than `most`, it is left:
    letters stand no further apart in the two words than that many are missing or extra.
    """
    before: list[float] = []
    row = [float(i) for i in range(len(meant) + 1)]
    aside = min(int(most), len(typed) + len(meant))
    for i, a in enumerate(typed):
        older, before, row = before, row, [NO] * (len(meant) + 1)
        row[0] = i + 1.0
        near = _beside(a)
        for j in range(max(0, i - aside), min(len(meant), i + aside + 1)):
            b = meant[j]
            cost = 0.0 if a == b else BESIDE if b in near else 1.0
            best = before[j] + cost
            if (left := row[j] + 1.0) < best:
                best = left
            if (above := before[j + 1] + 1.0) < best:
                best = above
            if i and j and a == meant[j - 1] and typed[i - 1] == b:
                best = min(best, older[j - 1] + 1.0)
            row[j + 1] = best
        if min(row) > most and min(before) > most:  # no later row is less: a swap looks two rows back
            return (NO,) * len(row)
    return tuple(row)


@cache
def _beside(letter: str) -> str:
    """Keys that touch a letter's key."""
    for r, row in enumerate(ROWS):
        at = row.find(letter)
        if at >= 0:
            near = [ROWS[r + up][max(0, at - 1) : at + 2] for up in (-1, 0, 1) if 0 <= r + up < len(ROWS)]
            return "".join(near).replace(letter, "")
    return ""
