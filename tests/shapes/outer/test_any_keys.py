"""Any keys that the declarations allow, round any original: the wall is kept, or figures are told that do keep it."""

from __future__ import annotations

import dataclasses
import re

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from generator.base.fields import SPEC, Kind, Spec
from generator.outline.predicates import explain_contour
from generator.shapes.draw import shape_named
from generator.shapes.outer import OUTER_SHAPES
from generator.shapes.outer.pointed import Sides
from tests.shapes.outer.told import changed, drawn_or_told, ways
from tests.shapes.outer.walls import NAMES, around, exact_wall, smooth
from tests.shapes.recipe_form import drawn

MICROMETRE = 1e-3
QUICK = settings(
    derandomize=True,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],  # to make a failing example smaller takes minutes
    suppress_health_check=list(HealthCheck),
)
EXAMPLES = {"scalloped": 8, "rounded_star": 8}
"""Where refusals take longer than those of the others."""
SHARES = (0.003, 0.1, 0.3, 0.5, 0.7, 0.8, 0.9, 1.0, 1.1, 1.25, 1.5, 2.0, 3.0, 12.0)
"""Lengths are these parts of the one in the declaration's example."""
INTERNAL = re.compile(r"segment|contour|carrier|loop|vert|tangent|bulge|circles|\bnan\b|\binf\b|None|sound", re.I)
"""Words of the code, not of the person's."""


def values(spec: Spec) -> st.SearchStrategy:
    match spec.kind:
        case Kind.LENGTH:
            least, most = spec.above or spec.at_least or 0.0, spec.at_most or 1e9
            sizes = [round(spec.example * share, 2) for share in SHARES]
            return st.sampled_from([s for s in sizes if least < s <= most] + ([most] if most < 1e9 else []))
        case Kind.NUMBER:
            low = (spec.above or spec.at_least) + 0.01
            return st.sampled_from([low, (0.9 * low + 0.1 * spec.at_most), spec.example, spec.at_most])
        case Kind.ANGLE:
            return st.sampled_from([-180, -90, 0, 90, 33.3])
        case Kind.COUNT:
            counts = st.sampled_from([spec.at_least, spec.example, spec.at_most])
            return st.one_of(counts, st.integers(int(spec.at_least), 20 if spec.at_most > 20 else int(spec.at_most)))
        case Kind.POINT:
            return st.sampled_from([[0, 0], [4.5, -3], [-25, 40]])
        case Kind.WORD:
            return st.sampled_from(spec.words)
        case Kind.FLAG:
            return st.booleans()
        case Kind.RECORD:
            radii = st.sampled_from([3, 15, 40, 90, 250, 20_000])
            bent = [radii.map(lambda r, key=f.name: {key: r}) for f in dataclasses.fields(Sides)]
            return st.one_of(st.sampled_from(spec.words), *bent)
    raise AssertionError(spec.kind)


def keys_of(kind: str) -> st.SearchStrategy:
    must, may = {}, {}
    for f in dataclasses.fields(shape_named(kind).params):
        (must if f.default is dataclasses.MISSING or f.name == "margin" else may)[f.name] = values(f.metadata[SPEC])
    return st.fixed_dictionaries(must, optional=may)


def sound(kind, params, name):
    outer = drawn({kind: params}, around(name))
    assert len(outer) == 1
    assert explain_contour(outer.contours[0]) is None
    assert smooth(outer)
    assert exact_wall(outer, name) >= params["margin"] - MICROMETRE


@pytest.mark.parametrize("kind", [s.name for s in OUTER_SHAPES])
def test_kept_or_refused_with_figures_that_do(kind):
    names = {f.name for f in dataclasses.fields(shape_named(kind).params)} | {"hollow", "bulging"}

    @settings(QUICK, max_examples=EXAMPLES.get(kind, 14))
    @given(params=keys_of(kind), name=st.sampled_from(NAMES))
    def judge(params, name):
        outer, why = drawn_or_told(kind, params, name)
        if outer is not None:
            sound(kind, params, name)
            return
        assert not INTERNAL.search(why), why
        told = ways(why)
        assert told, why
        for way in told:
            assert set(way) <= names
            assert any(value is not None for value in way.values()), why
            sound(kind, changed(params, way), name)

    judge()
