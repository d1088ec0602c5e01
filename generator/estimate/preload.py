"""How hard a bolt is tightened: what it is aimed at, what every link of the joint bears, and the torque for it."""

from __future__ import annotations

from collections.abc import Sequence

from generator.base.figures import Figure
from generator.base.materials import Material
from generator.base.screws import limiting_pressure
from generator.estimate.floor import floor_bears, floor_under
from generator.estimate.joint import Joint
from generator.estimate.thread_holds import thread_bears
from generator.formulas.bolts import preload_of, proof_load, torque_of, widest_preload
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import DRY, LUBRICATED

__all__ = [
    "aimed_preload",
    "bearable",
    "nut_factor",
    "preload",
    "preload_of_group",
    "pressure_limit",
    "rounded_down",
    "torque_for",
    "weakest",
]


def pressure_limit(recipe: Recipe, material: Material) -> Figure | None:
    """Return the pressure allowed on a material under a head, MPa, with its source; None if nothing is known of it."""
    known = limiting_pressure(material.name, material.proof_mpa)
    if known is None:
        return None
    share = recipe.limits.bolts.pressure
    if share.value == 1.0:
        return known
    source = f"{share.value:g} x limiting pressure ({share.told_source}): {known.source}"
    return Figure(share.value * known.value, known.unit, source, known.provenance)


def nut_factor(recipe: Recipe, joint: Joint) -> Figure:
    """Return the nut factor K of the state that the threads are in."""
    limits = recipe.limits.bolts
    by_state = {LUBRICATED: limits.nut_factor_lubricated, DRY: limits.nut_factor_dry}
    return by_state.get(joint.group.threads, limits.nut_factor)


def aimed_preload(recipe: Recipe, joint: Joint) -> float:
    """Return the preload that the bolt itself is to get, N: a share of its proof load, whatever bears it."""
    return recipe.limits.bolts.preload.value * proof_load(joint.strength.proof_mpa, joint.thread.stress_area_mm2)


def bearable(recipe: Recipe, plan: Plan, joint: Joint) -> dict[str, float]:
    """Return the preload that each link bears, N: ``bolt``, ``head``, ``face`` (under it), ``floor``, ``thread``.

    Links that bear as much as the bolt or more are told, too; a thread of which no turn holds is not.
    """
    bolt = aimed_preload(recipe, joint)
    out = {"bolt": bolt}
    if joint.is_weak_headed:
        out["head"] = recipe.limits.bolts.weak_head.value * bolt
    thread = thread_bears(recipe, joint, bolt)
    if thread is not None:
        out["thread"] = thread
    material, bears = plan.cover.material, joint.bears_mm
    pressure = pressure_limit(recipe, material)
    if pressure and bears and bears > joint.bolt.hole_mm and not joint.on_original:
        out["face"] = widest_preload(pressure.value, bears, joint.bolt.hole_mm)
    floor = floor_under(plan, joint)
    if floor and material.proof_mpa is not None:
        out["floor"] = floor_bears(floor, material, recipe.limits.bolts.floor_stress.value * material.proof_mpa)
    return out


def preload(recipe: Recipe, plan: Plan, joint: Joint) -> float:
    """Return the preload that the joint is judged with, N.

    That of the torque where the recipe gives one. In a joint that bears load the bolt's own: such a joint needs it.
    Else what every link bears, for nobody tightens a cover harder than it stands.
    """
    torque = joint.group.torque
    if torque is not None:
        return preload_of(torque, joint.thread.d_mm, nut_factor(recipe, joint).value)
    if plan.load_bearing and joint.in_the_joint:
        return aimed_preload(recipe, joint)
    return min(bearable(recipe, plan, joint).values())


def weakest(recipe: Recipe, plan: Plan, group: Sequence[Joint]) -> tuple[float, str]:
    """Return the preload that all bolts of a group bear, N, and the link that decides (see ``bearable``)."""
    links = [(force, link) for joint in group for link, force in bearable(recipe, plan, joint).items()]
    return min(links, key=lambda pair: pair[0])


def preload_of_group(recipe: Recipe, plan: Plan, group: Sequence[Joint]) -> float:
    """Return the preload for a group, N: that of its torque where the recipe gives one, else what all links bear."""
    torque = group[0].group.torque
    if torque is None:
        return weakest(recipe, plan, group)[0]
    return preload_of(torque, group[0].thread.d_mm, nut_factor(recipe, group[0]).value)


def torque_for(recipe: Recipe, joint: Joint, force_n: float) -> float:
    """Return the torque that gives a preload in the threads as they are, N m."""
    return torque_of(force_n, joint.thread.d_mm, nut_factor(recipe, joint).value)


def rounded_down(torque_nm: float) -> str:
    """Return a torque with two figures, on the safe side."""
    scale = 100.0 if torque_nm < 1.0 else 10.0 if torque_nm < 10.0 else 1.0
    return f"{int(torque_nm * scale) / scale:g}"
