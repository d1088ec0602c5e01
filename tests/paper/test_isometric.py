"""The lines of the isometric view: arcs without corners, and no line that ends where no other one is."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from drawing_recipes import DEMO, demo
from part_samples import plate

from generator.outline.create import circle
from generator.outline.region import Region
from generator.paper.drawing.isometric import isometric
from generator.paper.sheet import Track
from generator.part.relation import box_of
from generator.part.slabs import slabs

PAPER_MM = 120.0
DOT_MM = 25.4 / 600.0


def points(track: Track) -> np.ndarray:
    return np.array([(v.x, v.y) for v in track.vertices])


@pytest.mark.parametrize("radius", [1.0, 8.0, 60.0, 200.0])
def test_chords_stay_within_half_a_dot_of_the_ellipse(radius):
    """ISO 5456-3: the picture of a circle of radius r is an ellipse with the half axes sqrt(3/2) r and sqrt(1/2) r.
    A corner between chords shows at 600 dpi where they are off by half a dot; twice as fine, for views drawn larger."""
    part = plate(profile=Region((circle((0.0, 0.0), radius),)), thickness=0.05)
    tracks = isometric(slabs(part), 1.0)
    rim = points(max(tracks, key=lambda t: len(t.vertices))) - (0.0, 0.05)
    a, b = sqrt(1.5) * radius, sqrt(0.5) * radius
    middle = (rim[1:] + rim[:-1]) / 2.0
    value = (middle[:, 0] / a) ** 2 + (middle[:, 1] / b) ** 2 - 1.0
    slope = 2.0 * np.hypot(middle[:, 0] / a**2, middle[:, 1] / b**2)
    assert np.abs(value / slope).max() < DOT_MM / 4.0
    assert np.abs((rim[:, 0] / a) ** 2 + (rim[:, 1] / b) ** 2 - 1.0).max() < 1e-9


@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_every_line_ends_on_another_one(path):
    """Lines of a solid's picture end on one another: at a corner, or where something stands before them (the junctions
    of line pictures, common knowledge of picture reading); so there are no dashes and no gaps. 0.1 mm is a third of a
    line's width."""
    for part in demo(path)[1].parts:
        box = box_of(part.profile)
        tracks = [points(t) for t in isometric(slabs(part), PAPER_MM / max(box.width_mm, box.height_mm))]
        a, b = np.vstack([t[:-1] for t in tracks]), np.vstack([t[1:] for t in tracks])
        owner = np.repeat(np.arange(len(tracks)), [len(t) - 1 for t in tracks])
        for k, track in enumerate(tracks):
            if np.hypot(*(track[0] - track[-1])) < 1e-9:
                continue
            others = owner != k
            for end in (track[0], track[-1]):
                assert _away(end, a[others], b[others]) < 0.1, (part.name, end)


def _away(p: np.ndarray, a: np.ndarray, b: np.ndarray) -> float:
    """Return how far a point is from the nearest of some straight pieces."""
    d = b - a
    share = np.clip(((p - a) * d).sum(axis=1) / np.maximum((d * d).sum(axis=1), 1e-18), 0.0, 1.0)
    return float(np.hypot(*(p - a - share[:, None] * d).T).min())
