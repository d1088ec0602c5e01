"""Whatever a recipe asks for: its parts can be listed, measured, printed on sheets, and nominals pass."""

from __future__ import annotations

import csv
import io

from hypothesis import assume, given, settings
from part_samples import plan_of

from generator.base.errors import GeometryError, RecipeError
from generator.estimate.causes import causes
from generator.estimate.inspection_csv import inspected, inspection_csv
from generator.estimate.parts_list import parts_list
from generator.estimate.readings import read_readings
from generator.estimate.verdicts import Said, verdicts
from generator.paper.collisions import collisions
from generator.paper.inspection_sheets import inspection_sheets
from generator.part.part import Plan
from generator.part.slabs import slabs
from tests.checks.test_any_recipe import recipes


def is_solid(plan: Plan) -> bool:
    """Return True if nothing of a part lies outside it: only then is it built, and are its sheets printed."""
    try:
        return all(slabs(part) for part in plan.parts)
    except GeometryError:
        return False


@settings(max_examples=60, deadline=None)
@given(recipes())
def test_nominals_pass_and_pages_are_clean(recipe):
    try:
        plan = plan_of(recipe)
    except (RecipeError, GeometryError):
        assume(False)
        raise
    sheet = inspected(recipe, plan)
    rows = list(csv.reader(io.StringIO(inspection_csv(sheet))))
    for row in rows[5:]:
        row[9] = row[4]
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    readings = read_readings("r.csv", out.getvalue(), sheet)
    assert {v.said for v in verdicts(sheet, readings)} == {Said.PASS}
    assert causes(sheet, readings, plan) == ()
    for c in sheet.characteristics:
        assert c.lower_mm <= c.nominal_mm <= c.upper_mm
    assert [r.item for r in parts_list(recipe, plan)] == list(range(1, len(parts_list(recipe, plan)) + 1))
    for page in inspection_sheets(recipe, plan, sheet) if is_solid(plan) else ():
        assert not [c for c in collisions(page) if c.other != "balloon"]
        assert all(text.box.within(page.box.grown(-10.0)) for text in page.letters())
