"""Texts that the sheets can write get no finding; those that they cannot are told with their place."""

from __future__ import annotations

from dataclasses import replace

import pytest
from harness import found
from part_samples import RECIPE

from generator.paper.letters import has


@pytest.mark.parametrize("title", ["Gate latch", "Größe 3 für Ærø", "Крышка щеколды", "Κάλυμμα", "⌀ 12 × 3 ≤ 4", ""])
def test_letters_that_the_sheets_have_are_no_finding(title):
    assert all(has(c) for c in title)
    assert found(replace(RECIPE, title=title), "sheet-letters") == []


@pytest.mark.parametrize("text", ["門鎖カバー", "cover 門", "ฝา"])
def test_what_the_sheets_write_as_question_marks_is_told_with_its_place(text):
    (finding,) = found(replace(RECIPE, notes=text), "sheet-letters")
    lacking = [c for c in text if not has(c)]
    assert lacking
    assert all(c in finding.message for c in lacking[:3])
    assert finding.path == "notes"
