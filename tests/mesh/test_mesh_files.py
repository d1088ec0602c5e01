"""STL and 3MF files, read by libraries that know nothing of us: trimesh, and lib3mf of the 3MF Consortium."""

from __future__ import annotations

import io
import zipfile

import lib3mf
import numpy as np
import pytest
import trimesh

from generator.mesh.make import mesh_of
from generator.mesh.stl import read_stl, stl_bytes
from generator.mesh.threemf import Print, read_3mf, threemf_bytes
from generator.outline.create import circle
from generator.part.part import Slab, Wall

ROUND = circle((70.0, -30.0), 11.0)
MESH = mesh_of([Slab(0.0, 4.0, (Wall(ROUND, ROUND),))])
SMALL = mesh_of([Slab(0.0, 1.5, (Wall(circle((0.0, 0.0), 3.0), circle((0.0, 0.0), 2.0)),))])
ODD = 'Brass <&> "99"\x07 Ö'
PRINTS = (Print("Trial: cover", MESH, "EN AW-6082 T6", "#b9bcc0"), Print("Trial: insert-x", SMALL, ODD, "#c9a24b"))
PACKAGE = threemf_bytes(PRINTS, "Title & more", "Says <this>")


def test_stl_is_read_as_the_same_closed_body():
    data = stl_bytes(MESH, "solid words first: trial print; mm")
    other = trimesh.load(io.BytesIO(data), file_type="stl")
    assert other.is_watertight
    assert other.is_winding_consistent
    assert other.volume == pytest.approx(MESH.volume_mm3, rel=1e-6)
    assert len(other.faces) == len(MESH.triangles)
    assert np.abs(other.bounds - np.array(MESH.box_mm).reshape(2, 3)).max() == 0.0
    assert not data.startswith(b"solid")
    assert b"trial print" in data[:80]


def test_stl_normals_are_those_of_the_triangles():
    rows = np.frombuffer(stl_bytes(SMALL, ""), offset=84, dtype=[("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")])
    other = trimesh.Trimesh(SMALL.points, SMALL.triangles, process=False)
    assert np.abs(rows["n"] - other.face_normals).max() < 1e-4


def test_stl_read_back_loses_nothing():
    back = read_stl(stl_bytes(MESH, "x"))
    assert back.open_edges() == 0
    assert sorted(map(tuple, back.points.tolist())) == sorted(map(tuple, MESH.points.tolist()))


@pytest.mark.parametrize("cut", [0, 40, 84, -1, -50])
def test_stl_cut_short_is_noticed(cut):
    with pytest.raises(ValueError, match="do not hold"):
        read_stl(stl_bytes(MESH, "x")[:cut] if cut else b"")


def model():
    wrapper = lib3mf.get_wrapper()
    found = wrapper.CreateModel()
    reader = found.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(PACKAGE)
    assert reader.GetWarningCount() == 0
    return found


def test_3mf_is_what_the_consortiums_reader_takes_without_a_warning():
    found = model()
    assert found.GetUnit() == lib3mf.ModelUnit.MilliMeter
    said = found.GetMetaDataGroup()
    told = {said.GetMetaData(i).GetName(): said.GetMetaData(i).GetValue() for i in range(said.GetMetaDataCount())}
    assert told == {"Title": "Title & more", "Description": "Says <this>", "Application": "coverplate"}


def objects():
    found = model()
    every = found.GetMeshObjects()
    while every.MoveNext():
        yield found, every.GetCurrentMeshObject()


def test_3mf_objects_have_names_meshes_and_colours():
    for p, (found, thing) in zip(PRINTS, objects(), strict=True):
        assert thing.GetName() == p.name
        assert thing.IsManifoldAndOriented()
        corners = np.array([tuple(v.Coordinates) for v in thing.GetVertices()])
        faces = np.array([tuple(t.Indices) for t in thing.GetTriangleIndices()])
        assert np.abs(corners - p.mesh.points).max() < 1e-5
        assert (faces == p.mesh.triangles).all()
        number, place, _ = thing.GetObjectLevelProperty()
        bases = found.GetBaseMaterialGroupByID(number)
        colour = bases.GetDisplayColor(place)
        assert f"#{colour.Red:02x}{colour.Green:02x}{colour.Blue:02x}" == p.colour
        assert bases.GetName(place) == p.material.replace("\x07", "")


def test_3mf_objects_lie_on_the_plate_side_by_side():
    items = model().GetBuildItems()
    boxes = []
    for p in PRINTS:
        assert items.MoveNext()
        shift = np.array([items.GetCurrent().GetObjectTransform().Fields[3][k] for k in range(3)])
        boxes.append(np.array(p.mesh.box_mm).reshape(2, 3) + shift)
    for low, _ in boxes:
        assert low[:2].min() > 0.0
        assert low[2] == pytest.approx(0.0, abs=1e-5)
    assert boxes[1][0][0] > boxes[0][1][0]


def test_3mf_is_the_same_bytes_and_its_zip_has_no_clock():
    assert threemf_bytes(PRINTS, "Title & more", "Says <this>") == PACKAGE
    with zipfile.ZipFile(io.BytesIO(PACKAGE)) as package:
        assert package.testzip() is None
        assert {entry.date_time for entry in package.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert {(entry.create_system, entry.compress_type) for entry in package.infolist()} == {(3, 0)}


def test_3mf_read_back_by_ourselves():
    for p, back in zip(PRINTS, read_3mf(PACKAGE), strict=True):
        assert (back.name, back.colour) == (p.name, p.colour)
        assert back.mesh.open_edges() == 0
        assert back.mesh.volume_mm3 == pytest.approx(p.mesh.volume_mm3, rel=1e-6)


def test_what_is_no_package_of_ours_is_refused():
    with pytest.raises(ValueError, match="not a 3MF"):
        read_3mf(b"PK")
    inches = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(PACKAGE)) as old, zipfile.ZipFile(inches, "w") as new:
        for name in old.namelist():
            new.writestr(name, old.read(name).replace(b'"millimeter"', b'"inch"'))
    with pytest.raises(ValueError, match="unit is inch"):
        read_3mf(inches.getvalue())
