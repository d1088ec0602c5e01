"""Trial prints in plastic: every part of every recipe, by independent readers; the printer's allowance for holes."""

from __future__ import annotations

import io

import lib3mf
import numpy as np
import pytest
import shapely
import trimesh
from recipe_works import RECIPES, work_of

from generator.base.errors import RecipeError
from generator.build.pack_up import build
from generator.outline.measure import area
from generator.outputs import prints
from generator.outputs.proofs import demand
from generator.part.mass import volume_mm3
from generator.part.slabs import slabs

LATCH = next(p for p in RECIPES if p.stem == "gate-latch")
BEES = next(p for p in RECIPES if p.stem == "bee-house")
MOST = 60_000


def stl(data: bytes) -> trimesh.Trimesh:
    return trimesh.load(io.BytesIO(data), file_type="stl")


def test_the_head_of_an_stl_tells_unit_revision_and_part():
    work = work_of(LATCH)
    for path, data in prints.write(work):
        if path.endswith(".stl"):
            head = data[:80].decode("ascii").rstrip()
            assert head.startswith(f"Trial print in plastic, mm, revision {work.plan.revision}: ")
            assert head.endswith(" of gate-latch")


@pytest.mark.parametrize("path", RECIPES, ids=lambda p: p.stem)
def test_every_part_is_closed_faces_outward_and_has_the_volume_of_its_regions(path):
    work = work_of(path)
    files = dict(prints.write(work))
    demand(prints.prove(work, files))
    assert set(files) == {prints.ALL, *(prints.stl_name(p) for p in work.plan.parts)}
    assert all("trial-print" in name for name in files)
    for part in work.plan.parts:
        found = stl(files[prints.stl_name(part)])
        assert found.is_watertight
        assert found.is_winding_consistent
        assert abs(found.volume - volume_mm3(part)) <= 0.01 * found.area
        assert len(found.faces) < MOST
        for slab in slabs(part):
            if all(w.is_straight for w in slab.walls):
                # a level cut has the area of the region there, by the other libraries' section and area
                cut = trimesh.intersections.mesh_plane(found, (0, 0, 1), (0, 0, (slab.z_from_mm + slab.z_to_mm) / 2.0))
                within = shapely.build_area(shapely.multilinestrings(shapely.linestrings(cut[:, :, :2].round(6))))
                assert within.area == pytest.approx(area(slab.lower), abs=0.01 * within.length)


def test_3mf_says_what_it_is_in_the_consortiums_reader():
    work = work_of(LATCH)
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.ReadFromBuffer(dict(prints.write(work))[prints.ALL])
    said = model.GetMetaDataGroup()
    told = {said.GetMetaData(i).GetName(): said.GetMetaData(i).GetValue() for i in range(said.GetMetaDataCount())}
    assert told["Title"].startswith("Trial print in plastic: ")
    assert "millimetres" in told["Description"]
    assert "strength" in told["Description"]
    things, names = model.GetMeshObjects(), []
    while things.MoveNext():
        names.append(things.GetCurrentMeshObject().GetName())
    assert names == [f"Trial print in plastic: {p.name}" for p in work.plan.parts]


def hole_mm(found: trimesh.Trimesh, at: tuple[float, float], near_mm: float) -> float:
    """Diameter of the round wall nearest to an axis, from the corners of the mesh alone."""
    r = np.hypot(*(found.vertices[:, :2] - at).T)
    return 2.0 * float(r[(r < near_mm)].min())


def test_allowance_widens_holes_by_itself_and_pockets_by_half_a_side():
    plain, wide = work_of(LATCH), work_of(LATCH, "trial_print.holes=0.3 mm")
    before, after = (stl(dict(prints.write(w))[prints.stl_name(w.plan.cover)]) for w in (plain, wide))
    for bolt in plain.plan.bolts:
        assert hole_mm(before, bolt.at, bolt.hole_mm) == pytest.approx(bolt.hole_mm, abs=1e-3)
        assert hole_mm(after, bolt.at, bolt.hole_mm) == pytest.approx(bolt.hole_mm + 0.3, abs=1e-3)
    assert np.abs(before.bounds - after.bounds).max() < 1e-6
    demand(prints.prove(wide, dict(prints.write(wide))))
    assert "wider than in the part by 0.3 mm" in dict(prints.write(wide))[prints.ALL].decode("utf-8", "replace")


def test_allowance_leaves_heights_inserts_and_engravings():
    plain, wide = work_of(BEES), work_of(BEES, "trial_print.holes=0.2 mm")
    old, new = prints.printed_parts(plain), prints.printed_parts(wide)
    assert old[1:] == new[1:]
    for a, b in zip(old[0].features, new[0].features, strict=True):
        assert (a.z_from_mm, a.z_to_mm, a.flare_mm) == (b.z_from_mm, b.z_to_mm, b.flare_mm)
        assert (a.region == b.region) == a.layer.startswith("engraving")


def test_metal_is_not_touched_by_the_allowance():
    assert work_of(LATCH).plan == work_of(LATCH, "trial_print.holes=0.3 mm").plan


def test_allowance_that_no_part_survives_is_a_mistake_at_its_place(tmp_path):
    with pytest.raises(RecipeError, match=r"trial_print\.holes.*make it smaller") as caught:
        build(BEES, out=tmp_path, sets=["trial_print.holes=5"], outputs=["prints"])
    assert "--set" in caught.value.mistakes[0].file
    assert not list(tmp_path.iterdir())


def test_proofs_notice_a_hole_a_turned_mesh_and_another_size():
    work = work_of(LATCH)
    files = dict(prints.write(work))
    name = prints.stl_name(work.plan.cover)
    data = files[name]
    count = int.from_bytes(data[80:84], "little")
    hole = data[:80] + (count - 1).to_bytes(4, "little") + data[84:-50]
    rows = np.frombuffer(data, offset=84, dtype=[("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")]).copy()
    rows["c"] *= 1.001
    larger = data[:84] + rows.tobytes()
    rows["c"] = rows["c"][:, ::-1] / 1.001
    turned = data[:84] + rows.tobytes()
    for spoiled, what in ((hole, "closed"), (turned, "closed"), (larger, "size")):
        failed = [p for p in prints.prove(work, {**files, name: spoiled}) if not p.holds]
        assert any(what in p.what and p.feature == name for p in failed)
