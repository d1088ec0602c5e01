"""A hole that lies off its place in an otherwise symmetric plate is measured there, not taken for damage.

The plates are rendered by the simulator from exact geometry; their truth comes from it alone.
"""

from __future__ import annotations

from itertools import combinations
from math import acos, hypot, pi, sqrt, tan

import numpy as np
import pytest

from generator.trace.damage import damages
from generator.trace.footprint import footprint_of
from generator.trace.picture import load
from generator.trace.primitives import LINE, Primitive
from generator.trace.readings_file import read_caliper
from generator.trace.relations import mirrored
from generator.trace.symmetry import without_pairs
from generator.trace.tracing import Traced, trace_scans
from generator.trace.unknowns import Model
from tests.scans.scan_conditions import usual
from tests.scans.scan_parts import Hole, box, part
from tests.scans.scan_shape import Part, corners
from tests.scans.simulate import render, save

CENTRE_MM = 0.02
"""Target for centre distances of one scan at 300 dpi."""


def plate(off: float) -> list[Hole]:
    return [(-18.0, -10.0, 5.5), (18.0, -10.0, 5.5), (18.0 + off, 10.0, 5.5), (-18.0, 10.0, 5.5)]


def traced(off: float, folder) -> Traced:
    made = part("plate", corners(box(48.0, 32.0, 5.0)), plate(off))
    picture = save(render(made, usual(300, 81, readings=6), 81), folder)
    return trace_scans([load(picture.read_bytes(), picture.name)], read_caliper(str(folder / "caliper.yaml")))


def traced_part(made: Part, folder) -> Traced:
    picture = save(render(made, usual(300, 83, readings=4), 83), folder)
    return trace_scans([load(picture.read_bytes(), picture.name)], read_caliper(str(folder / "caliper.yaml")))


def distances(places) -> list[float]:
    return sorted(hypot(p[0] - q[0], p[1] - q[1]) for p, q in combinations(places, 2))


def images(found: Traced) -> list[frozenset[int]]:
    return [frozenset(r.of) for r in found.solved.relations if r.kind == "mirrored"]


@pytest.mark.parametrize("off", [0.0, 0.1, 0.3])
def test_a_hole_off_its_place_stays_there(off, tmp_path):
    found = traced(off, tmp_path)
    primitives = found.solved.primitives
    circles = [i for i, p in enumerate(primitives) if p.kind == "circle"]
    assert [p.kind for p in primitives].count("line") == 4
    assert [p.kind for p in primitives].count("arc") == 4
    assert len(circles) == 4
    measured = distances([primitives[i].values for i in circles])
    assert measured == pytest.approx(distances(plate(off)), abs=CENTRE_MM)
    # none of the edges is given up, so nothing is damaged
    weight = found.solved.found.weight
    assert np.mean(weight <= 0.0) < 0.02
    assert damages(found, footprint_of(found.solved)) == []
    # symmetric is what is: all four holes, or the three that are in their places
    holes = [pair for pair in images(found) if pair <= set(circles)]
    assert len(holes) == (4 if off == 0.0 else 2)
    given_up = [(r, c) for r, c in found.solved.dropped if r.kind == "mirrored"]
    assert len(given_up) == (0 if off == 0.0 else 2)
    assert all(c > 100.0 for _, c in given_up)
    # the radius is the same wherever the hole is
    assert sum(r.kind == "equal radius" and set(r.of) <= set(circles) for r in found.solved.relations) == 3


def test_an_edge_and_a_hole_alone_make_no_axis_of_symmetry(tmp_path):
    """Upright through the hole in the middle the part is nearly its own image: one end leans, one hole lies off."""
    points = [(-30, -15, 0), (30, -15, 0), (30.15, 15, 0), (5, 15.4, 0), (-30, 15, 0)]
    made = part("nearly_even", corners(points), [(-22, 0, 6.0), (22, 0.25, 6.08), (0, 3, 10)])
    found = traced_part(made, tmp_path)
    assert images(found) == []
    assert "symmetry" not in footprint_of(found.solved).placement.rule


def test_an_outline_without_pairs_is_symmetric_as_a_whole(tmp_path):
    """A disc with a flat: arc, edge and hole are each their own image."""
    reach = sqrt(22.0**2 - 14.0**2)
    bulge = tan((2.0 * pi - 2.0 * acos(14.0 / 22.0)) / 4.0)
    disc = Part("flat_on_disc", [(-14.0, -reach, bulge), (-14.0, reach, 0.0)], [], [("A", 0.0, 0.0, 14.0)], [], [])
    found = traced_part(disc, tmp_path)
    assert sorted(len(i) for i in images(found)) == [1, 1, 1]
    assert "axis of symmetry" in footprint_of(found.solved).placement.rule


def test_images_on_an_axis_need_a_pair_or_the_whole_outline():
    model = Model(tuple(Primitive(LINE, 1, (0.3 * i, 20.0), 0) for i in range(4)), axes=2)
    alone, other, pair = mirrored(model, 0, 0, 0), mirrored(model, 1, 1, 1), mirrored(model, 2, 3, 1)
    assert without_pairs([alone], range(4)) == [alone]
    assert without_pairs([alone, other, pair], range(4)) == [alone]
    assert without_pairs([alone], [0]) == []
