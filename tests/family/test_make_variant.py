"""One variant in this process: a drawing that changes meanwhile, a plan without a shape, proofs as without a store."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.family import make_variant as made_by
from generator.family.make_variant import make_variant
from generator.family.summary import file_digest
from generator.family.task import BUILT, FAILED, FORBIDDEN, Done, Task
from tests.family.family_cases import digests

GATE = Path(__file__).parents[2] / "recipes" / "gate-latch.yaml"
DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 20"><path d="M2 2L17 {y}L10 17Z"/></svg>'
ARTWORK = (
    "inlays.number.artwork={e: {outline: {outline_file: {file: e.svg, width: 8, origin: middle}}, "
    "done: engraved, depth: 0.4, cutter: fine}}"
)
ODD = (
    "inlays.number.artwork={e: {outline: {polygon: {points: [[5.027, 3.22], [-1.187, 6.844], [-5.638, 0.467], "
    "[-2.759, -6.198], [4.813, -3.622]]}}, done: engraved, depth: 0.4, cutter: fine}}"
)


def task(folder: Path, *sets: str, out: str = "out", store: str = "store", outputs=("layers-dxf",)) -> Task:
    (folder / "gate-latch.yaml").write_text(GATE.read_text(encoding="utf-8"), encoding="utf-8")
    where = str(folder / store) if store else ""
    return Task("one", str(folder / "gate-latch.yaml"), ("name=one", *sets), str(folder / out), outputs, where)


def made_meanwhile(folder: Path, monkeypatch, times: int) -> tuple[Path, Done]:
    """A drawing, and what became of a variant while it was changed that often after it was read."""
    drawing = folder / "e.svg"
    drawing.write_text(DRAWING.format(y=17), encoding="utf-8")
    real, done = made_by.build, []

    def build(*args, **kwargs):
        built = real(*args, **kwargs)
        if len(done) < times:
            done.append(drawing.write_text(DRAWING.format(y=12 - len(done)), encoding="utf-8"))
        return built

    with monkeypatch.context() as patched:
        patched.setattr(made_by, "build", build)
        return drawing, make_variant(task(folder, ARTWORK))


def test_a_drawing_that_changes_meanwhile_is_drawn_as_it_is_told(tmp_path, monkeypatch):
    drawing, done = made_meanwhile(tmp_path, monkeypatch, 1)
    assert done.status == BUILT
    assert done.uses[str(drawing)] == file_digest(str(drawing))
    again = make_variant(task(tmp_path, ARTWORK, out="again", store=""))
    assert digests(tmp_path / "out") == digests(tmp_path / "again"), "of the drawing that is there now"
    assert again.files == done.files


def test_a_drawing_that_goes_on_changing_costs_the_variant(tmp_path, monkeypatch):
    _, done = made_meanwhile(tmp_path, monkeypatch, 5)
    assert done.status == FAILED
    assert done.why == "a file that it uses was changed while it was made; run again"


def test_a_plan_that_is_forbidden_and_has_no_shape_is_forbidden_and_no_crash(tmp_path):
    second = "inlays.second={material: Cu-ETP R240, stock: {thickness: 1}, outline: {disc: {radius: 3}, at: [0, 20]}}"
    done = make_variant(task(tmp_path, second))
    assert done.status == FORBIDDEN
    assert "runs into inlay-pocket-second" in done.why
    assert any(said.severity == "forbids" for said in done.said)
    assert done.parameters["plot"] == "21"


@pytest.mark.parametrize("store", ["store", ""])
def test_no_store_changes_the_figures_of_a_proof(tmp_path, store):
    """Solids of odd outlines, whose volume the kernel finds a little otherwise where they lie in an assembly."""
    from generator.build.pack_up import build

    done = make_variant(task(tmp_path, ODD, store=store, outputs=("step",)))
    assert done.status == BUILT
    build(tmp_path / "gate-latch.yaml", out=tmp_path / "alone", sets=["name=one", ODD], outputs=["step"])
    assert digests(tmp_path / "out") == digests(tmp_path / "alone")
