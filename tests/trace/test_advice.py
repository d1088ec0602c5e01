"""What is advised helps by an amount that can be seen in the figures told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from generator.trace.advice import LEAST_GAIN_MM, advice
from tests.trace.traced_cases import KEEPER, LEAF, SLOTTED, account


@pytest.mark.parametrize("folder", [KEEPER, LEAF, SLOTTED])
@pytest.mark.parametrize("known", [1.0, 0.1, 0.01])
def test_no_reading_is_advised_that_changes_no_figure_told(folder, known):
    """The better footprint and caliper are (covariance and sigma shrunk alike), the less there is to be seen."""
    told = account(folder)
    solved = told.traced.solved
    found = replace(solved.found, covariance=known**2 * solved.found.covariance)
    caliper = replace(told.traced.caliper, sigma=known * 0.015, resolution=0.0)
    traced = replace(told.traced, solved=replace(solved, found=found), caliper=caliper)
    most, planned = advice(traced, told.footprint)
    for w in (*most, *planned):
        assert w.before - w.after >= LEAST_GAIN_MM
        assert f"{w.before:.3f}" != f"{w.after:.3f}"
    if known == 1.0 and folder != KEEPER:
        assert most, "a footprint with few readings is helped by another; the keeper has four and is known to 0.01 mm"
