"""Files of parts that are the same are alike whatever is said of them, and those of others are not."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.build.pack_up import build
from generator.family.alike import file_likeness, geometry_of

RECIPES = Path(__file__).parents[2] / "recipes"


def alike(folder: Path, name: str, *sets: str) -> tuple[dict[str, str], dict[str, dict[str, str]]]:
    """Geometry of the parts, and of their files what must be alike, of a pack."""
    said = [f"name={name}", *sets]
    built = build(RECIPES / "gate-latch.yaml", out=folder, sets=said, outputs=["step", "layers-dxf"])
    assert built.folder
    plan = built.checked.plan
    files = {p.relative_to(built.folder).as_posix(): "" for p in built.folder.rglob("*") if p.is_file()}
    return geometry_of(plan), file_likeness(built.folder, plan, files)


@pytest.fixture(scope="module")
def usual(tmp_path_factory):
    return alike(tmp_path_factory.mktemp("usual"), "usual")


@pytest.mark.parametrize(
    "sets",
    [
        ["holding.count=6"],
        ["tolerances.general=ISO 2768-fH"],
        ["title=Another, of a name that goes on and on until it fills more than a line of the file", "revision=C"],
        ["notes=|Deburr all edges by hand"],
    ],
)
def test_how_a_part_is_held_called_and_toleranced_makes_no_other_part(usual, sets, tmp_path):
    assert alike(tmp_path, "a-much-longer-name-than-usual", *sets) == usual


@pytest.mark.parametrize(
    ("sets", "part", "files"),
    [
        (["cover.edge_break=0.5"], "cover", {"cover.step", "layers/cover_top-face_edge-break.dxf"}),
        (["parameters.plot=22"], "insert-number", {"insert-number.step"}),
    ],
)
def test_another_part_has_other_files(usual, sets, part, files, tmp_path):
    geometry, found = alike(tmp_path, "usual", *sets)
    assert geometry[part] != usual[0][part]
    changed = {file for file, digest in found[part].items() if usual[1][part].get(file) != digest}
    assert files <= changed
    assert {p for p in geometry if geometry[p] == usual[0][p]} == set(geometry) - {part}
