"""Limits in the files of a hand-off: read back from each, told in many ways, and compared."""

from __future__ import annotations

import re

import pytest
from handoff_samples import RECIPE, agreed, flat_files

from generator.base.errors import ProofError
from generator.base.units import INCH, MILLIMETRE
from generator.build.handoff.agreement import unlimited
from generator.build.handoff.drawings_say import pdf_says
from generator.build.handoff.figures_say import figure_in, limits_of
from generator.build.handoff.statement import Statement
from generator.outputs import drawings_pdf, inspection, setup_sheets


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    path = tmp_path_factory.mktemp("limits") / "plain.yaml"
    path.write_text(RECIPE, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("text", "nominal", "limits", "is_reference"),
    [
        ("6.6", "6.6", None, False),
        ("⌀6.6 ±0.05", "6.6", (-0.05, 0.05), False),
        ("⌀6 +0.012/0", "6", (0.0, 0.012), False),
        ("R3 +0.12/−0.2", "3", (-0.2, 0.12), False),
        ("−8 ±0.1", "-8", (-0.1, 0.1), False),
        ("19.9 0/−0.1", "19.9", (-0.1, 0.0), False),
        ("(9.7)", "9.7", None, True),
        ("Upper rim of the outline: chamfer 0.6 × 45°", "0.6", None, False),
        ("Upper rim of the outline: chamfer 0.4 ±0.2 × 45°", "0.4", (-0.2, 0.2), False),
        ("Upper rim of the outline: chamfer 0.05 +0.025/−0.02 × 45°", "0.05", (-0.02, 0.025), False),
    ],
)
def test_figures_with_their_limits(text, nominal, limits, is_reference):
    found = figure_in(text)
    assert (found.nominal, found.is_reference) == (nominal, is_reference)
    assert limits_of(found, MILLIMETRE) == (limits and pytest.approx(limits))
    assert limits_of(found, INCH) == (limits and pytest.approx([25.4 * v for v in limits]))


@pytest.mark.parametrize("text", ["", "through", "A-A", "P2", "x ±0.05", "45°", "± 3", "3×"])
def test_words_are_no_figures(text):
    found = figure_in(text)
    assert found is None or text == "3×"


@pytest.mark.parametrize("edge", [0, 0.05, 0.1, 0.25, 0.4, 0.45, 0.5, 1])
def test_any_broken_edge_agrees(plain, edge):
    sets = [f"cover.edge_break={edge}"]
    assert agreed(plain, flat_files(plain, *sets), *sets).numbers > 20


@pytest.mark.parametrize("general", ["ISO 22081", "none", "", "ISO 2768-f", "see order 12 ±0.5, 0.3 elsewhere"])
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_any_general_tolerance_agrees(plain, general, units):
    sets = [f"tolerances.general={general}", f"units={units}"]
    if units == "inch":
        text = RECIPE.replace("units: mm", "units: inch").replace("radius: 2", "radius: 2 mm")
        for a in ("height: 3", "size: [40, 20]", "radius: 4", "[[-12, 0], [12, 0]]", "thickness: 10", "[52, 32]",
                  "radius: 6", "thickness: 1}", "size: [9, 7]", "diameter: 6"):  # fmt: skip
            text = text.replace(a, _in_mm(a))
        plain = plain.with_name("inch.yaml")
        plain.write_text(text, encoding="utf-8")
        sets = sets[:1]
    assert agreed(plain, flat_files(plain, *sets), *sets).numbers > 20


def _in_mm(text: str) -> str:
    return re.sub(r"(?<![\w.])(\d+)(?![\w.])", r"\1 mm", text)


@pytest.mark.parametrize(
    ("outputs", "change", "said"),
    [
        ([drawings_pdf], "tolerances.size=0.02", "limits: inspection/inspection.csv says -0.05/+0.05 mm, drawings/"),
        ([drawings_pdf], "tolerances.position=0.02", "x from datum, limits: inspection/inspection.csv says"),
        ([drawings_pdf], "tolerances.general=ISO 2768-f", "over all along x, limits: inspection/inspection.csv says"),
        ([inspection], "tolerances.size=0.02", "limits: inspection/inspection.csv says -0.02/+0.02 mm, drawings/"),
        ([setup_sheets], "tolerances.depth=0.03", "setups/setup-1.pdf -0.03/+0.03 mm"),
    ],
)
def test_limits_of_another_recipe_are_named_with_both_files(plain, outputs, change, said):
    files = {**flat_files(plain), **flat_files(plain, change, outputs=outputs)}
    with pytest.raises(ProofError) as error:
        agreed(plain, files)
    assert said in str(error.value)


def test_a_figure_without_any_limits_is_named(plain):
    path = "drawings/cover.pdf"
    read = pdf_says(path, flat_files(plain, outputs=[drawings_pdf])[path], MILLIMETRE, {})  # of no kind: no class holds
    held = [Statement(s.number, "sheet", s.value_mm, 0.0, s.said, -0.1, 0.1) for s in read]
    found = unlimited([*read, *held], [path])
    assert "number 1: drawings/cover.pdf says 52 and no limits" in found
    assert not [f for f in found if "(" in f]  # figures in brackets follow from others
