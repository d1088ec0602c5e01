"""How hard may the bolts be tightened?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from generator.base.finding import Finding, Severity
from generator.checks.check import Check, thicker
from generator.estimate.bolt_edits import bearable_torque, or_torque, what_else
from generator.estimate.floor import floor_missing, floor_under
from generator.estimate.joint import Joint, groups, told
from generator.estimate.preload import aimed_preload, bearable, nut_factor, rounded_down, torque_for, weakest
from generator.estimate.tight_enough import bears_load, least_share
from generator.formulas.bolts import preload_of
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "tightening-torque"
N_PER_KN = 1000.0
PER_CENT = 100.0
CAUTION = "an estimate: friction scatters by a third, and the maker's figure goes first"
LINKS = {
    "bolt": "what the bolt is aimed at",
    "head": "what its reduced head bears",
    "face": "the pressure under the head",
    "floor": "the floor under the head",
    "thread": "the thread that it is screwed into",
}


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``estimate`` or ``held-back`` where the recipe gives no torque, ``too-tight`` where it gives too much.

    ``too-loose`` is a torque that gives next to nothing of the preload: of the bolt's own where the original bears
    load, else of what all links bear, or so little of the bolt's own that it comes loose whatever it holds.

    What head, face and floor do not bear is told by their own checks; every remedy has the torque of the weakest.
    """
    for group in groups(recipe, plan):
        torque = group[0].group.torque
        if torque is None:
            yield _estimate(recipe, plan, group)
        elif torque > torque_for(recipe, group[0], _bears(recipe, plan, group)[0]):
            yield _too_tight(recipe, plan, group, torque)
        else:
            yield from _too_loose(recipe, plan, group, torque)


def _bears(recipe: Recipe, plan: Plan, group: tuple[Joint, ...]) -> tuple[float, str]:
    """Return the preload that bolt and thread bear, N, and which of them decides."""
    links = [bearable(recipe, plan, joint) for joint in group]
    return min((found[link], link) for found in links for link in ("bolt", "thread") if link in found)


def _estimate(recipe: Recipe, plan: Plan, group: tuple[Joint, ...]) -> Finding:
    """Return the torque that every link of the joint bears: a warning where that is far less than a fitter expects."""
    force, link = weakest(recipe, plan, group)
    joint, factor, aimed = group[0], nut_factor(recipe, group[0]), aimed_preload(recipe, group[0])
    torque = rounded_down(torque_for(recipe, joint, force))
    full = rounded_down(torque_for(recipe, joint, aimed))
    less = "" if link == "bolt" else f", held down by {LINKS[link]} (the bolt alone would bear {full} N m)"
    share, limit = force / aimed, recipe.limits.bolts.held_back.value
    back = share < limit
    deeper = _more_floor(recipe, plan, group, limit) if back and link == "floor" else ""
    bears = bearable_torque(recipe, plan, group)
    ways = [deeper, f"set {joint.path}.torque to {bears}, or to the maker's figure" if bears else ""]
    remedy = ", or ".join(way for way in ways if way) or what_else(recipe, plan, group)
    return _finding(
        recipe,
        group,
        "held-back" if back else "estimate",
        Severity.WARNS if back else Severity.NOTES,
        f"{told(group)}, {joint.thread.name} {joint.strength.name}: at most about {torque} N m for "
        f"{force / N_PER_KN:.1f} kN (K = {factor.value:g}, {joint.group.threads}){less}; {CAUTION}",
        remedy,
        *((share, limit, "x preload") if back else ()),
    )


def _more_floor(recipe: Recipe, plan: Plan, group: tuple[Joint, ...], share: float) -> str:
    """Return the edit that makes the floor bear a share of the bolt's preload; empty if none does."""
    limit, material = recipe.limits.bolts, plan.cover.material
    force = share * aimed_preload(recipe, group[0])
    stress = limit.floor_stress.value * (material.proof_mpa or 0.0)
    floors = [f for j in group if (f := floor_under(plan, j)) is not None]
    missing = max(floor_missing(f, material, force, stress) for f in floors)
    return thicker(recipe, plan, plan.cover.thickness_mm + missing) if missing < inf else ""


def _too_tight(recipe: Recipe, plan: Plan, group: tuple[Joint, ...], torque: float) -> Finding:
    """Return the warning of a torque that the bolt itself, or its thread, does not bear."""
    joint = group[0]
    force, link = _bears(recipe, plan, group)
    most = torque_for(recipe, joint, force)
    what = f"{joint.thread.name} {joint.strength.name}" if link == "bolt" else LINKS[link]
    return _finding(
        recipe,
        group,
        "too-tight",
        Severity.WARNS,
        f"{torque:g} N m are more than {what} is to bear (threads {joint.group.threads}); {CAUTION}",
        or_torque(recipe, plan, group),
        torque,
        most,
        "N m",
    )


def _too_loose(recipe: Recipe, plan: Plan, group: tuple[Joint, ...], torque: float) -> Iterator[Finding]:
    """Yield the warning of a torque that hardly tightens."""
    joint, limit = group[0], recipe.limits.bolts.least_preload
    bears, link = weakest(recipe, plan, group)
    aimed = aimed_preload(recipe, joint)
    force = preload_of(torque, joint.thread.d_mm, nut_factor(recipe, joint).value)
    wanted = aimed if bears_load(plan, joint) else bears
    if force >= limit.value * wanted:
        limit, wanted = least_share(recipe, plan, joint), aimed
    if force >= limit.value * wanted:
        return
    share, most = force / wanted, bearable_torque(recipe, plan, group)
    remedy = f"set {joint.path}.torque to {most}, or to the maker's figure"
    if not most:
        bearing, half = rounded_down(torque_for(recipe, joint, bears)), recipe.limits.bolts.held_back.value
        deeper = _more_floor(recipe, plan, group, half) if link == "floor" else ""
        harder = f"{deeper} and set {joint.path}.torque to {rounded_down(torque_for(recipe, joint, half * aimed))}"
        remedy = (
            f"{harder if deeper else what_else(recipe, plan, group)}; {LINKS[link]} bears no more than {bearing} N m"
        )
    yield _finding(
        recipe,
        group,
        "too-loose",
        Severity.WARNS,
        f"{torque:g} N m give {told(group)} only {share * PER_CENT:.2g} % of the preload that is wanted, "
        f"{wanted / N_PER_KN:.1f} kN: {_come(group)} loose",
        remedy,
        share,
        limit.value,
        "x preload",
        limit.told_source,
    )


def _come(group: tuple[Joint, ...]) -> str:
    return "it comes" if len(group) == 1 else "they come"


def _finding(
    recipe: Recipe,
    group: tuple[Joint, ...],
    code: str,
    severity: Severity,
    message: str,
    remedy: str,
    figure: float | None = None,
    limit: float | None = None,
    unit: str = "",
    source: str = "",
) -> Finding:
    joint = group[0]
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature=f"hole-{joint.bolt.name}",
        point_mm=joint.bolt.at if limit is not None else None,
        face="top" if limit is not None else "",
        figure=figure,
        limit=limit,
        unit=unit,
        source=source or f"{nut_factor(recipe, joint).told_source}; proof stress of {joint.strength.standard}",
        remedy=remedy,
        path=joint.path,
    )


CHECK = Check(
    ID,
    "tightening torque",
    "A bolt that is tightened too far yields or strips its thread; one that is not tightened enough comes loose. The "
    "figures are estimates: friction decides, and it scatters by a third either way. The maker's figure goes first.",
    "handbook formula T = K F d; proof stress of ISO 898-1 and ISO 3506-1",
    run,
    formula="preload F = share x proof stress x stress area, or less where head, cover, floor or thread bear less; "
    "torque T = K F d; a thread strips at shear strength x π d (L / P) (P / 2 + (d - d2) / √3)",
    limits=(
        "bolts.preload",
        "bolts.held_back",
        "bolts.least_preload",
        "bolts.hand_tight",
        "bolts.shear_steel",
        "bolts.shear_cast_iron",
        "bolts.shear_aluminium",
        "bolts.shear_brass",
        "bolts.shear_plastic",
        "bolts.strips",
        "bolts.lost_turns",
        "bolts.into_aluminium",
        "bolts.nut_factor",
        "bolts.nut_factor_lubricated",
        "bolts.nut_factor_dry",
    ),
)
