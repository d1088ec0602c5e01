"""The layers of every recipe, as an independent reader finds them."""

from __future__ import annotations

from math import pi

import pytest
from dxf_tags import read_tags
from pack_tools import ROOT
from test_layers_dxf import facet_bound

from generator.build.judge import check
from generator.outline.measure import signed_area
from generator.outputs import layers_dxf
from generator.outputs.layers_dxf import ALL_LAYERS, drawn_layers

RECIPES = sorted((ROOT / "recipes").glob("*.yaml"))
STEP_DEG = 0.1


def planned(path):
    from generator.outputs.output import Work

    checked = check(path)
    return Work(checked.plan, checked.layers, checked.outcomes, "", "", {})


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_layers_of_recipe(path, tmp_path):
    pyogrio = pytest.importorskip("pyogrio")
    shapely = pytest.importorskip("shapely")
    work = planned(path)
    files = dict(layers_dxf.write(work))
    proofs = list(layers_dxf.prove(work, files))
    assert [p for p in proofs if not p.holds] == []
    assert max(p.deviation for p in proofs) < 1e-9
    (tmp_path / "all.dxf").write_bytes(files[ALL_LAYERS])
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": str(STEP_DEG)})
    try:
        meta, _, geometry, fields = pyogrio.raw.read(tmp_path / "all.dxf", layer="entities")
    finally:
        pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": None})
    of_layer = dict(zip(meta["fields"], fields, strict=True))["Layer"]
    areas = [shapely.polygonize([shapely.from_wkb(g)]).area for g in geometry]
    for _, name, layer in drawn_layers(work.layers):
        mine = [a for a, of in zip(areas, of_layer, strict=True) if of == name]
        signs = [1.0 if signed_area(c) > 0.0 else -1.0 for c in layer.region]
        assert len(mine) == len(signs)
        got = sum(s * a for s, a in zip(signs, mine, strict=True))
        want = sum(signed_area(c) for c in layer.region)
        assert abs(got - want) <= facet_bound(layer.region, STEP_DEG * pi / 180.0) + 1e-9 * abs(want), name


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_no_outline_of_a_recipe_stands_twice_on_one_face(path):
    """A shop that cuts all layers of one face and part must not find an outline doubled."""
    work = planned(path)
    data = dict(layers_dxf.write(work))[ALL_LAYERS]
    part_of = {name: (layer.part, layer.face) for _, name, layer in drawn_layers(work.layers)}
    seen = {}
    for e in read_tags(data).entities:
        points = frozenset((round(x, 4), round(y, 4), round(abs(b), 6)) for x, y, b in e.points)
        key = (part_of[e.layer], e.kind, round(e.radius, 4), points)
        assert key not in seen, f"{e.layer} repeats {seen.get(key)}"
        seen[key] = e.layer
