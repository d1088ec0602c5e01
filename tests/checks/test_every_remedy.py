"""Every edit that a finding offers is put into the recipe: its own finding goes, and nothing is forbidden that was not.

Over the recipes that are shown, and small ones with something wrong.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.base.finding import Finding, Severity
from generator.base.remedy import Way, ways
from generator.build.judge import Checked, judge
from generator.build.reading import read

ROOT = Path(__file__).parents[2]
SHOWN = sorted((ROOT / "recipes").glob("*.yaml"))
WRONG = sorted((ROOT / "tests" / "data" / "remedies").glob("*.yaml"))


def with_edits(path: Path, way: Way = ()) -> Checked:
    """Return a recipe with edits, judged.

    Raises: RecipeError: an edit leads into a recipe that cannot be read or drawn.
    """
    return judge(read(str(path), sets=[f"{e.key}={'null' if e.value is None else e.value}" for e in way]))


def of(made: Checked, severity: Severity) -> set[tuple[str, str, str]]:
    """Return check, code and feature of the findings of a severity."""
    return {(f.check, f.code, f.feature) for f in made.findings if f.severity is severity}


def is_same(a: Finding, b: Finding) -> bool:
    return (a.check, a.code, a.feature, a.path) == (b.check, b.code, b.feature, b.path)


def followed(path: Path) -> int:
    """Return how many edits were followed, each with its finding gone and nothing more forbidden."""
    before = with_edits(path)
    count = 0
    for finding in before.findings:
        for way in ways(finding.remedy):
            after = with_edits(path, way)
            assert not [o for o in after.outcomes if o.crash], way
            assert not [f for f in after.findings if is_same(f, finding)], (finding.remedy, way)
            new = of(after, Severity.FORBIDS) - of(before, Severity.FORBIDS)
            assert not new, (finding.remedy, way, new)
            count += 1
    return count


@pytest.mark.slow
@pytest.mark.parametrize("path", SHOWN, ids=lambda p: p.stem)
def test_of_recipes_that_are_shown(path):
    assert followed(path) > 0


@pytest.mark.slow
@pytest.mark.parametrize("path", WRONG, ids=lambda p: p.stem)
def test_of_recipes_with_something_wrong(path):
    assert followed(path) >= 3


def test_there_is_something_to_follow():
    assert len(SHOWN) >= 9
    assert len(WRONG) >= 12


@pytest.mark.parametrize("name", ["clamps-in-the-way", "small-blank", "weak-tabs"])
def test_what_holds_the_part_brings_no_warning_either(name):
    path = ROOT / "tests" / "data" / "remedies" / f"{name}.yaml"
    before = with_edits(path)
    old = of(before, Severity.WARNS) | of(before, Severity.FORBIDS)
    for finding in before.findings:
        for way in ways(finding.remedy) if finding.check in ("clamps", "holding") else ():
            assert of(with_edits(path, way), Severity.WARNS) <= old, (finding.remedy, way)
