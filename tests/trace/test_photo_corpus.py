"""The corpus's photos, traced and scored against their truth: the figures to reach of the feasibility study."""

from __future__ import annotations

import ezdxf
import pytest

from generator.trace.assemble import segments_of
from generator.trace.photo import trace_photo
from generator.trace.picture import load
from generator.trace.readings_file import read_caliper
from tests.scans.scan_cases import TARGETS, corpus
from tests.scans.scorer import read_dxf, score

PHOTOS = {case.name: case for case in corpus() if case.reference != "scan"}


def drawn(traced, path):
    """The traced outline as a drawing, which the scorer reads."""
    drawing = ezdxf.new()
    drawing.units = ezdxf.units.MM
    space = drawing.modelspace()
    for joints in traced.solved.joints:
        if joints:
            corners = segments_of(traced.solved.primitives, joints)
            space.add_lwpolyline([(v.x, v.y, v.bulge) for v in corners], format="xyb", close=True)
    for p in traced.solved.primitives:
        if p.kind == "circle":
            space.add_circle(p.values[:2], p.values[2])
    drawing.saveas(path)
    return read_dxf(path)


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(PHOTOS))
def test_the_photos_reach_the_figures(name, tmp_path):
    case = PHOTOS[name]
    picture = load(case.images[0].read_bytes(), case.images[0].name)
    traced = trace_photo(picture, read_caliper(str(case.readings)), reference=case.reference)
    found, wanted = score(case.truth, drawn(traced, tmp_path / "traced.dxf")), TARGETS[case.kind]
    assert found.both.rms <= wanted.rms
    assert found.both.p95 <= wanted.p95
    assert found.both.most <= wanted.most
    assert found.diameter <= wanted.diameter
    assert found.centre <= wanted.centre
    assert found.counts == found.true_counts
    assert not traced.solved.slips
