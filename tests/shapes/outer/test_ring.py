"""Tips and hollows in a ring are judged quickly."""

from __future__ import annotations

import numpy as np

from generator.base.units import MODEL
from generator.outline.spans import spans_of
from generator.outline.validity import _go_on
from generator.shapes.outer.ring import tips_and_hollows


def test_tangent_rounds_are_not_compared_one_by_one():
    """Tips and hollows of a star bend by far more than a right angle, and yet follow each other."""
    ring = tips_and_hollows(18, (60.0, 4.0), (36.0, 6.0))
    spans = spans_of(ring)
    i = np.arange(len(ring) - 1)
    assert _go_on(spans, i, i + 1, MODEL).all()
