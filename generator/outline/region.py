"""A region: an exact area of the plane, outer contours and holes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour

if TYPE_CHECKING:
    from generator.outline.spans import Spans


@frozen_record
class Region:
    """An area bounded by contours that neither cross nor overlap: outer ones counter-clockwise, holes clockwise.

    Islands inside holes are outer contours of the same region. The empty region has no contours. Contours stand in
    canonical order (falling absolute area, then first vertex), which every function that makes a region keeps.
    """

    contours: tuple[Contour, ...] = ()

    @classmethod
    def of(cls, contours: Iterable[Contour]) -> Region:
        """Return the region of the given contours in canonical order; orientation is taken as it is."""
        from generator.outline.measure import measure_together, signed_area

        contours = tuple(contours)
        measure_together(contours)
        keyed = sorted(contours, key=lambda c: (-abs(signed_area(c)), c.vertices[0]))
        return cls(tuple(keyed))

    def __hash__(self) -> int:
        return self._hash  # asked for again and again where answers are remembered

    @cached_property
    def _hash(self) -> int:
        return hash(self.contours)

    def __bool__(self) -> bool:
        return bool(self.contours)

    def __iter__(self) -> Iterator[Contour]:
        return iter(self.contours)

    def __len__(self) -> int:
        return len(self.contours)

    @cached_property
    def spans(self) -> Spans:
        """Return the segments of all contours as arrays, see ``spans.spans_of``; put together once."""
        from generator.outline.spans import put_together

        return put_together(self.contours)


EMPTY = Region()
