"""What lies off the outline in many places is told as another shape, not as many chips."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from generator.outline.contour import Vertex
from generator.trace.damage import Damage
from generator.trace.other_shape import MOST_DAMAGED, other_shape

SQUARE = SimpleNamespace(
    outline=(1, 2, 3, 4),
    vertices=lambda loop: (Vertex(0, 0, 0), Vertex(25, 0, 0), Vertex(25, 25, 0), Vertex(0, 25, 0)),
)
"""As much of a footprint as is asked: its outline is 100 mm round."""


def hurt(number: int, length: float, off: float = -0.3) -> Damage:
    nothing = np.zeros((0, 2))
    return Damage(number, (0.0, 0.0), off, length, nothing, nothing)


@pytest.mark.parametrize("pieces", [[], [hurt(1, 2.0)], [hurt(n, 4.9) for n in (1, 2, 3, 4)]])
def test_here_and_there_is_damage(pieces):
    assert other_shape(pieces, SQUARE) == ""


def test_nearly_everywhere_is_another_shape():
    told = other_shape([hurt(n, 8.0, 0.1 * n) for n in (1, 2, 3, 4)], SQUARE)
    assert told.startswith("32 % of the outline")
    assert "by up to 0.40 mm" in told


def test_openings_do_not_count():
    assert other_shape([hurt(9, 100.0 * MOST_DAMAGED + 1.0)], SQUARE) == ""
