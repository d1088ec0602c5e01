"""Corners that a round cutter can make, and mating corners with one centre.

A cutter of radius r leaves r in every inside corner. The pocket is therefore opened by r (what a disc of that radius
sweeps inside it). The insert is cut round its outside by the same cutter, so its own inside corners need r, too: the
pocket, which is the insert plus the gap, is closed by r less the gap. The insert is the pocket offset by the gap, so
every pair of corners has one centre and the gap is even all round. Where the gap is wider than r, the pocket's corners
get the gap's radius: the insert's are then sharp and stand in their centres.
"""

from __future__ import annotations

from collections.abc import Callable

from generator.outline.clusters import clustered
from generator.outline.combine import union
from generator.outline.measure import area
from generator.outline.narrow import reversed_boundary
from generator.outline.opening import closing, opening
from generator.outline.reach import loses_nothing
from generator.outline.region import EMPTY, Region
from generator.outline.separate import separated

__all__ = ["as_made", "cut_by", "mated"]

TRACE_MM2 = 1e-5
"""A region that changes by less has no corner that the cutter cannot make: it is kept to the digit."""

FEW = 20
"""Regions of no more contours are made in one go."""

FILLS = (1.0, 1.5, 2.0, 3.0, 5.0)
"""Hollows are filled by so many times the radius that the insert needs, until opening and closing agree."""

ROUNDS = 3
"""Opening can spoil what closing made, and the other way round; after so many rounds neither changes anything."""


def cut_by(region: Region, radius_mm: float) -> Region:
    """Return what a cutter of this radius makes of a region: the region less what it cannot reach.

    Raises: OffsetError: no result passed its checks.
    """
    if radius_mm <= 0.0:
        return region
    return _each(region, lambda part: _cut_by(part, radius_mm))


def _cut_by(region: Region, radius_mm: float) -> Region:
    if loses_nothing(region, radius_mm):
        return region
    opened = opening(region, radius_mm)
    return region if area(region) - area(opened) < TRACE_MM2 else opened


def _each(region: Region, make: Callable[[Region], Region]) -> Region:
    """Return what is made of a region, in parts if it has many pieces: those whose boxes lie apart have nothing to do
    with one another, and one that has come to rest need not wait for the others. The region itself if nothing changed.
    """
    parts = clustered(region) if len(region) > FEW else (region,)
    made = [make(p) for p in parts]
    if all(m is p for m, p in zip(made, parts, strict=True)):
        return region
    return made[0] if len(made) == 1 else Region.of(c for m in made for c in m)


def mated(region: Region, radius_mm: float, gap_mm: float) -> Region:
    """Return the pocket nearest to ``region`` that one cutter can make together with its insert.

    The insert is the pocket offset inward by ``gap_mm``; where the two had sharper corners they have ``radius_mm``, or
    the pocket ``gap_mm`` if that is more and no piece is lost by it. What is narrower than the cutter is lost: compare
    areas to tell.

    In a neck about as wide as the cutter the two can undo each other for ever; hollows are then filled wider, by as
    little as brings rest. Where nothing of ``FILLS`` does, the pocket can be made and the check of what cutters reach
    tells what stays at the insert.

    Raises: OffsetError: no result passed its checks.
    """
    return _each(region, lambda part: _mated(part, radius_mm, gap_mm))


def _mated(region: Region, radius_mm: float, gap_mm: float) -> Region:
    made = region
    for fill in FILLS:
        made, rests = _made(region, radius_mm, max(0.0, radius_mm - gap_mm) * fill)
        if rests:
            break
    return _even(made, gap_mm) if gap_mm > radius_mm > 0.0 else made


def _even(made: Region, gap_mm: float) -> Region:
    """Return the pocket with corners of the gap's radius; pieces that the gap swallows or parts are as they were."""
    pieces = separated(made)
    even = [_even_piece(p, gap_mm) for p in pieces]
    if all(e is p for e, p in zip(even, pieces, strict=True)):
        return made
    return Region(tuple(c for piece in even for c in piece))


def _even_piece(piece: Region, gap_mm: float) -> Region:
    even = cut_by(piece, gap_mm)
    return even if len(even) == len(piece) and len(separated(even)) == 1 else piece


def _made(region: Region, radius_mm: float, inner_mm: float) -> tuple[Region, bool]:
    """Return the region closed and opened in turn, and whether it came to rest."""
    for _ in range(ROUNDS):
        closed = _closed(region, inner_mm)
        made = cut_by(closed, radius_mm)
        if made is region or not made:
            return made, True
        region = made
    return region, _closed(region, inner_mm) is region


def _closed(region: Region, radius_mm: float) -> Region:
    """Return every piece of the region closed on its own: pieces are cut apart, so the web between two is no matter."""
    if radius_mm <= 0.0:
        return region
    pieces = separated(region)
    closed = [p if loses_nothing(reversed_boundary(p), radius_mm) else closing(p, radius_mm) for p in pieces]
    grown = [c for p, c in zip(pieces, closed, strict=True) if area(c) - area(p) >= TRACE_MM2]
    return union(*closed) if grown else region


def as_made(drawn: Region, made: Region) -> tuple[Region, Region]:
    """Return a feature's region and what was asked for (empty if nothing changed), from what corners made of a drawing.

    Where the cutter would leave nothing the drawing stands for both: a check says so.
    """
    return made or drawn, EMPTY if made is drawn else drawn
