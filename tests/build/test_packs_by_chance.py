"""Whatever a recipe asks for: its sheets and layers can be made and proven, their report written, and they agree."""

from __future__ import annotations

import json

import pytest
from chance_recipes import written

from generator.base.finding import Severity
from generator.build.handoff.agreement import agreement
from generator.build.handoff.choose import chosen
from generator.build.judge import check
from generator.build.work import work_of
from generator.outputs import drawings_dxf, drawings_pdf, inspection, layers_dxf, parts_list, setup_sheets, templates
from generator.outputs.proofs import demand
from generator.outputs.report_data import report_data

FLAT = (layers_dxf, drawings_pdf, drawings_dxf, inspection, setup_sheets, parts_list, templates)
"""Outputs of what goes on paper or to a machine, which need no solid."""


def sound(folder, seeds):
    made = 0
    for seed in seeds:
        checked = check(written(folder, seed))
        if any(f.severity is Severity.FORBIDS for f in checked.findings):
            continue
        work, files, proofs = work_of(checked), {}, []
        try:
            for output in FLAT:
                own = dict(output.OUTPUT.write(work))
                proofs += demand(output.OUTPUT.prove(work, own))
                files |= own
            told = json.loads(json.dumps(report_data(work, proofs, files)))
            assert len(told["proofs"]) == len(proofs)
            found = agreement(checked.reading.recipe, checked.plan, chosen(files))
        except Exception as error:
            raise AssertionError(f"seed {seed}") from error
        assert found.numbers > 5
        made += 1
    assert made >= len(seeds) // 2


def test_a_few_by_chance(tmp_path):
    sound(tmp_path, range(6))


@pytest.mark.slow
@pytest.mark.parametrize("first", range(100, 200, 10))
def test_a_hundred_by_chance(tmp_path, first):
    sound(tmp_path, range(first, first + 10))
