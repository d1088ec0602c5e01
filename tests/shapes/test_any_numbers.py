"""Any numbers that the declarations allow: a sound outline or our own located error, never anything else."""

from __future__ import annotations

import dataclasses
import warnings
from math import radians

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from generator.base.errors import GeometryError
from generator.base.fields import SPEC, Kind, OutlineSpec, Spec
from generator.outline.predicates import explain_contour
from generator.shapes import SHAPES
from generator.shapes.disc import Disc
from generator.shapes.draw import draw_outline
from generator.shapes.emblems import EMBLEM_SHAPES
from generator.shapes.rectangle import Rectangle
from generator.shapes.shape import Context
from tests.shapes.test_outer import around

SIZES = [0.001, 0.5, 3.0, 8.0, 10.0, 20.0, 47.3, 150.0, 1999.0]
PLACES = [-300.0, -20.0, -3.0, 0.0, 0.1, 5.0, 20.0, 64.0]
ANGLES = [-180.0, -90.0, -37.0, 0.0, 1e-6, 45.0, 90.0, 180.0, 359.0]
PLAIN = [
    OutlineSpec(kind="disc", params=Disc(radius=12.0), path="inner"),
    OutlineSpec(kind="rectangle", params=Rectangle(size=(30.0, 8.0)), at_mm=(3.0, 4.0), path="inner"),
]


def allowed(spec: Spec, values: list[float]) -> list[float]:
    low = spec.at_least if spec.at_least is not None else float("-inf")
    low = max(low, spec.above + 1e-9) if spec.above is not None else low
    high = spec.at_most if spec.at_most is not None else float("inf")
    high = min(high, spec.below - 1e-9) if spec.below is not None else high
    return [v for v in values if low <= v <= high]


def values(spec: Spec) -> st.SearchStrategy:
    match spec.kind:
        case Kind.LENGTH | Kind.NUMBER:
            return st.sampled_from(allowed(spec, SIZES + PLACES))
        case Kind.ANGLE:
            return st.sampled_from(allowed(spec, ANGLES)).map(radians)
        case Kind.COUNT:
            return st.integers(int(spec.at_least or 1), 7)
        case Kind.POINT:
            return st.tuples(st.sampled_from(PLACES), st.sampled_from(PLACES))
        case Kind.WORD:
            return st.sampled_from(spec.words)
        case Kind.FLAG:
            return st.booleans()
        case Kind.TEXT | Kind.FILE:
            return st.just("x.dxf")
        case Kind.OUTLINE:
            return st.sampled_from(PLAIN)
        case Kind.LIST:
            return st.lists(values(spec.item), min_size=spec.fewest, max_size=min(spec.most, max(spec.fewest, 5))).map(
                tuple
            )
        case Kind.MAP:
            return st.dictionaries(st.sampled_from(["kern", "wght"]), values(spec.item), max_size=2)
        case Kind.RECORD:
            return st.one_of(record(spec.record), *(st.just(w) for w in spec.words))
    raise AssertionError(spec.kind)


def record(kind: type) -> st.SearchStrategy:
    """Every key that must be given, and some of the others."""
    must, may = {}, {}
    for f in dataclasses.fields(kind):
        optional = f.default is not dataclasses.MISSING or f.default_factory is not dataclasses.MISSING
        (may if optional else must)[f.name] = values(f.metadata[SPEC])
    return st.fixed_dictionaries(must, optional=may).map(lambda given_: kind(**given_))


def drawn_or_told(spec: OutlineSpec, context: Context):
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", RuntimeWarning)
            return None, draw_outline(spec, context)
    except GeometryError as error:
        return error, None


# emblems have a test of this sort that asks for more: tests/shapes/emblems
@pytest.mark.parametrize("shape", [s for s in SHAPES if s not in EMBLEM_SHAPES], ids=lambda s: s.name)
@settings(derandomize=True, deadline=None, max_examples=25, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_sound_or_refused(shape, data):
    sound_or_refused(shape, data)


@pytest.mark.slow
@pytest.mark.parametrize("shape", [s for s in SHAPES if s not in EMBLEM_SHAPES], ids=lambda s: s.name)
@settings(derandomize=True, deadline=None, max_examples=200, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_sound_or_refused_often(shape, data):
    sound_or_refused(shape, data)


def sound_or_refused(shape, data):
    params = data.draw(record(shape.params))
    context = around("lever-bracket") if shape.family == "outer" or data.draw(st.booleans()) else Context()
    told, region = drawn_or_told(OutlineSpec(kind=shape.name, params=params, path="footprint"), context)
    if region is None:
        assert told.path
        assert str(told)
    else:
        assert region
        assert all(explain_contour(c) is None for c in region)
