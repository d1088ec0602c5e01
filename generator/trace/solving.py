"""From points on edges to primitives, step by step: cut, calibrate, cut again, relate."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.trace.bundle import fit
from generator.trace.calibrating import calibrated, mended
from generator.trace.laying import place
from generator.trace.layout import Layout, lay_out, without
from generator.trace.primitives import LINE, distance
from generator.trace.reading_equations import Joint
from generator.trace.relating import LIKELY, Readings, Solved, relate
from generator.trace.relations import concentric, equal_radius, in_line, surprise
from generator.trace.runs import Row
from generator.trace.scans import Placed, with_scans
from generator.trace.slips import Slip, spread_of, worst
from generator.trace.swollen_corners import told_by_images, unburdened
from generator.trace.unknowns import HEAD, Fit, Known, straightened
from generator.trace.wishes import NO_WISHES, Wishes

Floats = NDArray[np.float64]

CUTS: Final = 3
"""So many times the points are cut at most, each time with the scanner's errors better known."""
SETTLED: Final = 0.5
"""Points that move by less than this share of their standard deviation are cut as before."""
BORNE_OUT: Final = 3.0
"""A reading given up is believed again that is within so many standard deviations of what the related part expects."""
ONE_MM: Final = 0.06
"""Points of one half lie this near to the other half, if both are one line or arc."""


def solve(scans: Sequence[Sequence[Row]], readings: Readings, known: Known, wishes: Wishes = NO_WISHES) -> Solved:
    """Return the primitives of a part seen in one scan or several.

    Args:
        scans: for each scan the points of every loop, the outline first, mm by the nominal scale.
        readings: what the caliper says.
        known: what is known beforehand.
        wishes: relations that are demanded or forbidden.

    Raises: GeometryError: the scans do not show the same part.
    """
    weighed = [[r.forwards().weighed() for r in rows] for rows in scans]
    modes = scans[0][0].modes
    head = np.zeros(HEAD + (0 if modes is None else modes.shape[2]))
    others = [Placed(tuple(rows), place(weighed[0], rows, head)) for rows in weighed[1:]]
    layout, free = _laid(weighed[0], others, head, known)
    for cuts in range(CUTS):
        found, slips = calibrated(layout, free, readings, known)
        if cuts + 1 == CUTS:
            break
        sound = mended(readings, slips)(layout, found.x)
        better = fit(layout.model, layout.points, found.x, known=known, readings=sound).x
        if cuts and _strained(weighed[0], head, better) < SETTLED:
            break
        head = better[: layout.model.poses]
        others = [Placed(o.rows, pose) for o, pose in zip(others, layout.model.poses_of(better), strict=True)]
        layout, free = _laid(weighed[0], others, head, known)
    layout, found = united(layout, found, mended(readings, slips), known)
    solved = relate(layout, found, mended(readings, slips), known, slips, wishes)
    layout, found, solved = _unburdened(layout, found, solved, readings, known, wishes)
    fewer = _still_doubtful(solved, readings)
    if len(fewer) == len(slips):
        return solved
    again = relate(layout, found, mended(readings, fewer), known, fewer, wishes)
    kept = mended(readings, fewer)(again.layout, again.found.x)
    explained = len(again.relations) >= len(solved.relations) and worst(kept, again.found) is None
    return again if explained else solved


def _unburdened(
    layout: Layout, free: Fit, solved: Solved, readings: Readings, known: Known, wishes: Wishes
) -> tuple[Layout, Fit, Solved]:
    """Return layout and fits, without relations and with them, where images tell small corners that a burr covers."""
    lighter = unburdened(layout, solved)
    if lighter is None:
        return layout, free, solved
    sound = mended(readings, solved.slips)
    found = fit(lighter.model, lighter.points, free.x, known=known, readings=sound(lighter, free.x))
    whole = relate(lighter, found, sound, known, solved.slips, wishes)
    return (lighter, found, whole) if told_by_images(solved, whole) else (layout, free, solved)


def _still_doubtful(solved: Solved, readings: Readings) -> dict[str, Slip]:
    """Return the readings that were given up without those that the part's own relations bear out.

    Right angles and symmetry tell a scanner's aspect and skew where readings leave them open; readings that seemed to
    contradict each other may agree then. Those that contradict each other are borne out together or not at all.
    """
    found = solved.found
    fits = {
        m.name
        for m in readings(solved.layout, found.x)
        if abs(m.function(found.x) - m.value) <= BORNE_OUT * (m.sigma**2 + spread_of(m, found)) ** 0.5
    }
    disputed = {name for name, slip in solved.slips.items() if slip.sides}
    fits -= set() if disputed <= fits else disputed
    return {name: slip for name, slip in solved.slips.items() if slip.plain or name not in fits}


def _strained(rows: Sequence[Row], before: Floats, after: Floats) -> float:
    """Return how far the points are moved against each other between two heads, in their standard deviations."""
    now, then = (np.vstack([r.seen(x) for r in rows]) @ straightened(x).T for x in (after, before))
    moved = now - then
    moved = moved - moved.mean(axis=0)
    about = then - then.mean(axis=0)
    moved -= about * float((moved * about).sum() / (about * about).sum())  # larger as a whole is cut alike
    off = np.hypot(moved[:, 0], moved[:, 1]) / np.concatenate([r.sigma for r in rows])
    return float(np.percentile(off, 95))


def _laid(first: Sequence[Row], others: Sequence[Placed], head: Floats, known: Known) -> tuple[Layout, Fit]:
    """Return the layout of all scans' points, cut with the scanner's errors taken out, and its fit without readings."""
    layout = lay_out(first, head)
    poses: list[tuple[float, float, float]] = []
    if others:
        layout, poses = with_scans(layout, others, head)
    start = layout.model.start(poses)
    start[: layout.model.poses] = head
    return layout, fit(layout.model, layout.points, start, known=known)


def united(layout: Layout, found: Fit, readings: Readings, known: Known) -> tuple[Layout, Fit]:
    """Return the layout with neighbours made one that are parts of one line or arc, and its fit."""
    while True:
        joint = _halves(layout, found)
        if joint is None:
            return layout, found
        at = layout.model.places()[joint.after]
        start = np.delete(found.x, range(at, at + layout.model.primitives[joint.after].size))
        layout = without(layout, joint)
        found = fit(layout.model, layout.points, start, known=known, readings=readings(layout, start))


def _halves(layout: Layout, found: Fit) -> Joint | None:
    """Return the joint of two neighbours of one kind whose values agree within their uncertainty, or None."""
    for loop in layout.joints:
        if len(loop) < 3:
            continue
        for j in loop:
            p, q = (layout.model.primitives[i] for i in (j.before, j.after))
            if p.kind != q.kind or p.side != q.side:
                continue
            if p.kind == LINE:
                same = [in_line(layout.model, j.before, j.after)]
            else:
                same = [concentric(layout.model, j.before, j.after), equal_radius(layout.model, j.before, j.after)]
            if all(surprise(r, found.x, found.covariance) < LIKELY for r in same) and _near(layout, found, j):
                return j
    return None


def _near(layout: Layout, found: Fit, joint: Joint) -> bool:
    """Tell whether one neighbour runs through what was seen of the other: the values of short arcs say little."""
    primitives = layout.model.with_values(found.x)
    seen = layout.points.seen(found.x) @ straightened(found.x).T
    first = layout.points.scan == 0
    for own, other in ((joint.before, joint.after), (joint.after, joint.before)):
        off = distance(primitives[other], seen[(layout.points.of == own) & first])
        if np.percentile(np.abs(off), 80) < ONE_MM:
            return True
    return False
