"""The largest size at which letters fit into an outline with a margin, and where: sought on the outlines themselves.

The search is in two steps. Looking over: sizes from large to small, every place on a grid, the slack read from a
table; the places where the largest size just fits, or nearly, are kept. Pushing (``text_push.py``, with the words used
here): from each of them the drawing grows and gives way until it cannot. In a convex outline there is one such end, so
that looking over is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from generator.artwork.text_push import COARSE, ROUGHLY, Placing, Slack, Task, at_placing, push, settled, slid
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.measure import bounds, centroid
from generator.outline.predicates import is_convex
from generator.outline.region import Region
from generator.outline.spans import Floats
from generator.outline.transform import moved
from generator.outline.winding import winding_numbers

__all__ = ["Placing", "largest_placing"]

_CELLS: Final = 96
"""Cells of the table of slacks along the longer side of the outline."""
_PLACES: Final = 40
"""Places along the longer side when looking over."""
_GRID: Final = 60
"""Points within the drawing along its longer side."""
_SMALLER: Final = 0.96
"""From one size to the next when looking over closely."""
_MUCH_SMALLER: Final = 0.85
"""From one size to the next at first."""
_KEPT: Final = 5
"""Places that are pushed from."""
_SMALLEST: Final = 1e-3
"""Share of the outline's extent below which nothing is looked for."""


def largest_placing(
    drawing: Sequence[Contour],
    room: Region,
    clear_mm: float,
    *,
    centred: bool,
    is_area: bool,
    roughly: bool = False,
    near: Placing | None = None,
) -> Placing:
    """Return the largest placing of a drawing in an outline.

    Args:
        drawing: contours at the layout size; what is open stands there and back.
        room: where it has to fit; holes keep it out.
        clear_mm: least distance between the drawing and the outline's boundary, above 0.
        centred: the middle of the drawing's box lies in the middle of the outline's box.
        is_area: the contours bound an area, which must not hold a hole of the outline either.
        roughly: within about a hundredth of the size, to lay the letters out near their size.
        near: where that was, to save looking over.
    Raises: GeometryError: it fits nowhere.
    """
    middle = bounds(Region(tuple(drawing))).centre
    shape = Region(tuple(moved(c, -middle.x, -middle.y) for c in drawing))
    convex = len(room) == 1 and is_convex(room.contours[0])
    held = is_area and len(room) > 1
    task = Task(Slack(room, clear_mm), shape, centred, convex, _inside(shape) if held else np.zeros((0, 2)))
    direct = [_start(room, shape, centred=centred)] if centred or convex else []
    found = _best(task, [near] if near else direct or _looked_over(task), roughly=roughly)
    if found is None and near is not None:  # it was no more than a guess
        found = _best(task, direct or _looked_over(task), roughly=roughly)
    if found is None:
        raise GeometryError(_no_place(centred))
    return found


def _best(task: Task, starts: Sequence[Placing], *, roughly: bool) -> Placing | None:
    """Return the largest of the placings that pushing from the starts leads to; None if none is good."""
    q = task.points(COARSE)
    pushed = [p for p in (push(task, q, start, ROUGHLY) for start in starts) if p]
    if roughly:
        return max(pushed, default=None)
    for placing in sorted(pushed, key=lambda p: (-p.factor, abs(p.x), abs(p.y))):
        exact = settled(task, placing)
        if exact is not None and not (len(task.inside) and _holds_a_hole(task, exact)):
            return exact if task.centred else slid(task, exact)
    return None


def _no_place(centred: bool) -> str:
    hint = ", or leave `centred` out" if centred else ""
    return f"the letters fit nowhere with this margin; a smaller `margin`, fewer letters or a larger outline{hint}"


def _holds_a_hole(task: Task, p: Placing) -> bool:
    starts = np.array([c.vertices[0][:2] for c in task.slack.room])
    return bool((winding_numbers(at_placing(task.shape, p), starts) > 0).any())


def _inside(shape: Region) -> Floats:
    """Return points on a grid within the drawing."""
    box = bounds(shape)
    step = max(box.width_mm, box.height_mm) / _GRID
    nx, ny = int(box.width_mm / step) + 1, int(box.height_mm / step) + 1
    x, y = np.meshgrid(box.xmin + step * (0.5 + np.arange(nx)), box.ymin + step * (0.5 + np.arange(ny)))
    points = np.column_stack([x.ravel(), y.ravel()])
    return points[winding_numbers(shape, points) > 0]


# ------------------------------------------------------------------ looking over
def _box_factor(room: Region, shape: Region) -> float:
    """Return the factor at which the drawing's box would fill the outline's."""
    outer, inner = bounds(room), bounds(shape)
    across = outer.width_mm / inner.width_mm if inner.width_mm else np.inf
    return float(min(across, outer.height_mm / inner.height_mm if inner.height_mm else np.inf))


def _start(room: Region, shape: Region, *, centred: bool) -> Placing:
    """Return a placing about the middle of the outline, of a third of the size that its box would allow."""
    middle = bounds(room).centre if centred else centroid(room)
    return Placing(_box_factor(room, shape) / 3.0, middle.x, middle.y)


def _looked_over(task: Task) -> list[Placing]:
    """Return the placings to push from: where the largest size that fits, by a table of slacks, just fits."""
    table = _Table.of(task.slack)
    q = task.points(COARSE)
    places = table.places()
    least, factor = np.full(len(places), -np.inf), _box_factor(task.slack.room, task.shape)
    smallest = _SMALLEST * factor
    for smaller in (_MUCH_SMALLER, _SMALLER):
        factor = factor / _MUCH_SMALLER if smaller == _SMALLER else factor
        least = table.least(q * factor, places)
        while least.max() < -table.step:
            factor *= smaller
            if factor < smallest:
                return []
            least = table.least(q * factor, places)
    good = np.flatnonzero(least >= -table.step)
    order = good[np.argsort(-least[good], kind="stable")]
    return [Placing(factor * _SMALLER, *places[order[k]].tolist()) for k in _apart(places[order], table.step * 4.0)]


def _apart(points: Floats, least_mm: float) -> list[int]:
    """Return numbers of points, the first of them and on, that lie apart from those before."""
    kept: list[int] = []
    for k in range(len(points)):
        if all(np.hypot(*(points[k] - points[j])) > least_mm for j in kept):
            kept.append(k)
        if len(kept) == _KEPT:
            break
    return kept


@frozen_record(eq=False)
class _Table:
    """Slacks on a grid."""

    low: Floats
    step: float
    values: Floats

    @classmethod
    def of(cls, slack: Slack) -> _Table:
        box = bounds(slack.room)
        step = max(box.width_mm, box.height_mm) / _CELLS
        nx, ny = int(box.width_mm / step) + 4, int(box.height_mm / step) + 4
        low = np.array([box.xmin - step, box.ymin - step])
        x, y = np.meshgrid(low[0] + step * np.arange(nx), low[1] + step * np.arange(ny), indexing="ij")
        values = slack.at(np.column_stack([x.ravel(), y.ravel()])).reshape(nx, ny)
        return cls(low, step, values)

    def places(self) -> Floats:
        """Return the points of a coarser grid, (n, 2)."""
        nx, ny = self.values.shape
        stride = max(1, max(nx, ny) // _PLACES)
        i, j = np.meshgrid(np.arange(0, nx, stride), np.arange(0, ny, stride), indexing="ij")
        points: Floats = self.low + self.step * np.column_stack([i.ravel(), j.ravel()])
        return points

    def least(self, q: Floats, places: Floats) -> Floats:
        """Return the least slack of points q moved to each place; nearest entry, outside the table the worst."""
        worst = float(self.values.min())
        least = np.full(len(places), np.inf)
        order = np.argsort(-np.hypot(q[:, 0], q[:, 1]), kind="stable")
        for part in np.array_split(q[order], 8):  # the points farthest out tell most places to be bad
            rows = np.flatnonzero(least >= -self.step)
            if not len(rows):
                break
            at = np.rint((places[rows, None] + part - self.low) / self.step).astype(np.int64)
            top = np.array(self.values.shape) - 1
            inside = ((at >= 0) & (at <= top)).all(axis=2)
            at = np.clip(at, 0, top)
            values = np.where(inside, self.values[at[..., 0], at[..., 1]], worst)
            least[rows] = np.minimum(least[rows], values.min(axis=1))
        return least
