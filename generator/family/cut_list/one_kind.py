"""As many equal rectangles as cuts from edge to edge can get out of a sheet, both ways round mixed."""

from __future__ import annotations

from typing import Final

from generator.family.cut_list.skyline import SLACK_MM, Box

__all__ = ["one_kind"]

MOST_RESTS: Final = 60_000
"""Rests of a sheet that are looked at; above that the pieces are so small that rows of them lose little."""

Rest = tuple[int, int, int, int]
"""What is cut off: strips of a length and of a width along the sheet, of a width and of a length across it."""


def one_kind(sheet: tuple[float, float], piece: tuple[float, float]) -> list[Box]:
    """Return the pieces laid on a sheet of length and width ``sheet``; nothing where there are too many ways.

    Strips of one row of pieces are cut off the rest, along or across, whichever leaves the most pieces in the end.
    """
    (length, width), (a, b) = sheet, piece
    along = (length / a + 1.0) * (length / b + 1.0) / 2.0
    across = (width / a + 1.0) * (width / b + 1.0) / 2.0
    if along * across > MOST_RESTS:
        return []
    return _laid(_Rests(length, width, a, b))


class _Rests:
    """Every rest of a sheet with the most pieces that it holds, reckoned from the smallest up."""

    def __init__(self, length: float, width: float, a: float, b: float) -> None:
        self.length, self.width, self.a, self.b = length, width, a, b
        self._most: dict[Rest, int] = {}
        self._reckon()

    def size(self, rest: Rest) -> tuple[float, float]:
        """Return what is left along and across."""
        i, j, k, m = rest
        return self.length - i * self.a - j * self.b, self.width - k * self.b - m * self.a

    def strips(self, rest: Rest) -> list[tuple[int, Rest]]:
        """Return the strips that can be cut off: how many pieces each has, and the rest."""
        x, y = self.size(rest)
        i, j, k, m = rest
        a, b, slack = self.a, self.b, SLACK_MM
        out = []
        if x >= a - slack and y >= b - slack:
            out += [(_whole(y, b), (i + 1, j, k, m)), (_whole(x, a), (i, j, k + 1, m))]
        if x >= b - slack and y >= a - slack:
            out += [(_whole(y, a), (i, j + 1, k, m)), (_whole(x, b), (i, j, k, m + 1))]
        return out

    def best(self, rest: Rest) -> tuple[int, Rest] | None:
        """Return the strip to cut off; None where none can be."""
        strips = self.strips(rest)
        return max(strips, key=lambda s: s[0] + self._most[s[1]]) if strips else None

    def _reckon(self) -> None:
        stack: list[Rest] = [(0, 0, 0, 0)]
        while stack:
            rest = stack[-1]
            if rest in self._most:
                stack.pop()
                continue
            strips = self.strips(rest)
            due = [r for _, r in strips if r not in self._most]
            if due:
                stack += due
                continue
            self._most[rest] = max((n + self._most[r] for n, r in strips), default=0)
            stack.pop()


def _whole(room: float, piece: float) -> int:
    return int((room + SLACK_MM) / piece)


def _laid(rests: _Rests) -> list[Box]:
    """Return the pieces of the best cuts; what is cut off lies at the lower left."""
    out: list[Box] = []
    rest: Rest = (0, 0, 0, 0)
    a, b = rests.a, rests.b
    while (best := rests.best(rest)) is not None:
        count, following = best
        x_left, y_left = rests.size(rest)
        x, y = rests.length - x_left, rests.width - y_left
        kind = next(n for n in range(4) if following[n] != rest[n])
        if kind < 2:
            step = b if kind == 0 else a
            out += [Box(0, x, y + n * step, kind == 1) for n in range(count)]
        else:
            step = a if kind == 2 else b
            out += [Box(0, x + n * step, y, kind == 3) for n in range(count)]
        rest = following
    return out
