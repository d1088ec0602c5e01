"""Words and layers that carry no number of a drawing: each file's own is read back, and another one is named."""

from __future__ import annotations

import pytest
from handoff_samples import RECIPE, agreed, flat_files

from generator.base.errors import ProofError
from generator.build.handoff.words_say import Word, _decoded, _fits
from generator.outputs import drawings_dxf, drawings_pdf, inspection, layers_dxf, parts_list, setup_sheets


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    path = tmp_path_factory.mktemp("words") / "plain.yaml"
    path.write_text(RECIPE, encoding="utf-8")
    return path


def refused(path, files: dict[str, bytes]) -> list[str]:
    with pytest.raises(ProofError) as error:
        agreed(path, files)
    return str(error.value).splitlines()[1:]


EVERYTHING = (drawings_dxf, drawings_pdf, inspection, layers_dxf, parts_list, setup_sheets)


@pytest.mark.parametrize("output", EVERYTHING, ids=lambda o: o.__name__.rpartition(".")[2])
def test_another_revision_is_named_whichever_file_has_it(plain, output):
    files = flat_files(plain)
    other = flat_files(plain, "revision=B", outputs=[output])
    assert other
    for path, data in other.items():
        assert any(
            "revision of every file" in line.lower() and path in line for line in refused(plain, {**files, path: data})
        )


@pytest.mark.parametrize("output", [drawings_dxf, drawings_pdf, parts_list, setup_sheets])
def test_another_material_is_named(plain, output):
    other = flat_files(plain, "cover.material=EN AW-5083 H111", outputs=[output])
    for path, data in other.items():
        if "plate" not in path:
            lines = refused(plain, {**flat_files(plain), path: data})
            assert any(f"{path} `EN AW-5083 H111`" in line or f"{path} says `EN AW-5083" in line for line in lines), (
                lines
            )


@pytest.mark.parametrize("output", [drawings_dxf, drawings_pdf, parts_list, inspection])
def test_another_quantity_is_named(plain, output):
    for path, data in flat_files(plain, "order.quantity=5", outputs=[output]).items():
        if path != "inspection/inspection.pdf":  # has as many columns as there is room for
            lines = refused(plain, {**flat_files(plain), path: data})
            assert any("uantity" in line and path in line for line in lines), (path, lines)


@pytest.mark.parametrize(
    ("change", "path", "said"),
    [
        ("dowels.diameter=8", "layers/blank_bottom-face_dowel-holes.dxf", "8.0000 mm"),
        ("cover.outer.rectangle.size=[60, 32]", "layers/blank_bottom-face_dowel-holes.dxf", "from middle to middle"),
        ("dowels.diameter=5", "layers/blank_bottom-face_dowel-holes.dxf", "5.0000 mm"),
        ("cover.stock.margin=20", "layers/blank_bottom-face_blank.dxf", "piece of stock of cover"),
        ("cover.stock.thickness=11", "layers/blank_bottom-face_blank.dxf", "piece of stock of cover"),
        ("cover.stock.thickness=11", "layers/cover_top-face_bolt-holes.dxf", "11.0000 mm"),
        ("cover.stock.thickness=11", "parts-list.csv", "thickness of the stock of cover"),
        ("cover.edge_break=0.7", "layers/cover_top-face_edge-break.dxf", "0.7000 mm"),
        ("inlays.plate.stock.thickness=1.5", "setups/setup-insert-plate.pdf", "1.5 mm"),
    ],
)
def test_layers_of_blank_holes_and_rim(plain, change, path, said):
    files = {**flat_files(plain), path: flat_files(plain, change)[path]}
    lines = refused(plain, files)
    assert any(path in line and said in line for line in lines), lines


@pytest.mark.parametrize(
    ("word", "is_open", "said", "fits"),
    [
        ("A", False, "A", True),
        ("A", False, "B", False),
        ("A: Base plate", True, "A", True),
        ("AB: Base plate", True, "A", False),
        (": Base plate", True, "", True),
        ("draft of the…", False, "draft of the ninth", True),
        ("draft of a…", False, "draft of the ninth", False),
        ("A: Base pl…", True, "A", True),
    ],
)
def test_words_cut_off_or_followed_by_others(word, is_open, said, fits):
    assert _fits(Word("revision", "", "", word, is_open), said) is fits


@pytest.mark.parametrize(
    ("text", "read"), [("A", "A"), (r"\X2\00C4\X0\ 1", "Ä 1"), ("it''s", "it's"), (r"\X4\0001F600\X0\x", "😀x")]
)
def test_texts_of_step_files(text, read):
    # examples of ISO 10303-21, clause 6.4.3 (from memory)
    assert _decoded(text) == read
