"""Solids of another shape than the layers cut: found by sections, whichever feature it is, and named with the place."""

from __future__ import annotations

from math import pi

import pytest
from handoff_samples import RECIPE, agreed

from generator.api import build
from generator.base.errors import ProofError
from generator.build.handoff.choose import chosen
from generator.outline.measure import area


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    """The recipe and a function that makes the files of it with values laid over it."""
    folder = tmp_path_factory.mktemp("shapes")
    path = folder / "plain.yaml"
    path.write_text(RECIPE, encoding="utf-8")
    made: dict[tuple[str, ...], dict[str, bytes]] = {}

    def files(*sets: str) -> dict[str, bytes]:
        if sets not in made:
            outputs = ["step"] if sets else ["step", "layers-dxf", "drawings-pdf", "drawings-dxf", "inspection"]
            pack = build(path, out=folder / str(len(made)), sets=sets, outputs=outputs).folder
            made[sets] = chosen(
                {p.relative_to(pack).as_posix(): p.read_bytes() for p in pack.rglob("*") if p.is_file()}
            )
        return made[sets]

    return path, files


def test_the_solids_are_what_the_layers_leave(plain):
    path, files = plain
    assert "assembly.step" in files()
    agreed(path, files())


def test_a_section_has_the_area_of_its_closed_form(plain):
    from generator.solid.slice import slice_step

    found = slice_step(plain[1]()["cover.step"], {"plain cover": [1.6]})["plain cover"][1.6]
    outer, pocket = 52 * 32 - (4 - pi) * 6**2, 40.6 * 20.6 - (4 - pi) * 4.3**2
    assert area(found) == pytest.approx(outer - pocket, rel=1e-9)


@pytest.mark.parametrize(
    ("change", "step", "said"),
    [
        ("clearance.around=0.4", "cover.step", "bottom-pocket.dxf"),
        ("clearance.around=0.4", "assembly.step", "bottom-pocket.dxf"),
        ("inlays.plate.outline.at=[0.05, 0]", "cover.step", "inlay-pocket-plate.dxf"),
        ("inlays.plate.outline.at=[0.05, 0]", "assembly.step", "insert-plate"),
        ("inlays.plate.outline.rectangle.radius=2.1", "insert-plate.step", "insert-profile-plate.dxf"),
        ("cover.outer.rectangle.radius=6.2", "cover.step", "outer-profile.dxf"),
        ("clearance.above=0.22", "assembly.step", "bottom-pocket.dxf"),
        ("inlays.plate.stock.thickness=1.05", "assembly.step", "inlay-pocket-plate.dxf"),
        ("cover.edge_break=0.55", "cover.step", "edge-break.dxf"),
        ("original.bolts[0].at[1]=[12.02, 0]", "assembly.step", "bolt-holes.dxf"),
    ],
)
def test_another_shape_is_named_with_its_place_and_layer(plain, change, step, said):
    path, files = plain
    with pytest.raises(ProofError) as error:
        agreed(path, {**files(), step: files(change)[step]})
    lines = [line for line in str(error.value).splitlines() if step in line and "over the bottom face" in line]
    assert any(said in line for line in lines), str(error.value)


@pytest.mark.parametrize("step", ["cover.step", "assembly.step", "insert-plate.step"])
def test_other_limits_in_a_model_are_named(plain, step):
    path, files = plain
    change = "inlays.plate.stock.tolerance=0.01" if "insert" in step else "tolerances.size=0.02"
    with pytest.raises(ProofError) as error:
        agreed(path, {**files(), step: files(change)[step]})
    lines = [line for line in str(error.value).splitlines() if "limits:" in line]
    assert any("inspection/inspection.csv says" in line and step in line for line in lines), str(error.value)
