"""Are there bolts in the recipe that a fitter will mix up?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from generator.base.finding import Finding, Severity
from generator.base.practice import OWN
from generator.checks.check import Check
from generator.estimate.bolt_length import needed_length
from generator.estimate.joint import Joint, groups, told
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "bolts-alike"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``lengths`` or ``classes`` for two groups of one thread that are easily mixed up."""
    for first, second in combinations(groups(recipe, plan), 2):
        a, b = first[0], second[0]
        if a.called != b.called:
            continue
        if a.strength != b.strength:
            yield _classes(first, second)
        lengths = [j.group.length or needed_length(recipe, j) for j in (a, b)]
        if None not in lengths and lengths[0] != lengths[1]:
            yield _lengths(first, second, lengths[0] or 0.0, lengths[1] or 0.0)


def _classes(first: tuple[Joint, ...], second: tuple[Joint, ...]) -> Finding:
    """Return the warning of two property classes of one screw."""
    a, b = first[0], second[0]
    strong, weak = (a, b) if a.strength.proof_mpa > b.strength.proof_mpa else (b, a)
    return _finding(
        "classes",
        Severity.WARNS,
        second,
        f"{told(first)} and {told(second)} are both {a.called} but of {a.strength.name} and {b.strength.name}: "
        "swapped, the weaker ones get the torque of the stronger",
        f"set {weak.path}.property_class to {strong.strength.name}",
    )


def _lengths(first: tuple[Joint, ...], second: tuple[Joint, ...], a: float, b: float) -> Finding:
    """Return the note of two lengths of one screw."""
    return _finding(
        "lengths",
        Severity.NOTES,
        second,
        f"{told(first)} and {told(second)} are both {first[0].called} but {a:g} and {b:g} mm long: do not swap them",
        f"set {second[0].path}.length to {a:g} mm, or keep them apart on the bench",
    )


def _finding(code: str, severity: Severity, group: tuple[Joint, ...], message: str, remedy: str) -> Finding:
    joint = group[0]
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature=f"hole-{joint.bolt.name}",
        point_mm=joint.bolt.at,
        face="top",
        source=OWN,
        remedy=remedy,
        path=joint.path,
    )


CHECK = Check(
    ID,
    "bolts that are mixed up",
    "Two lengths or classes of one screw end up swapped: the short one strips its thread, the long one stops at the "
    "bottom, the weak one yields.",
    OWN,
    run,
)
