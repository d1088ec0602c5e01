"""What a bolted joint loses of its preload as its faces settle."""

from __future__ import annotations

from generator.base.screws import (
    ORIGINAL_YOUNGS_MPA,
    SCREW_YOUNGS_MPA,
    SETTLES_FACE,
    SETTLES_JOINT,
    SETTLES_THREAD,
)
from generator.base.units import MODEL
from generator.estimate.floor import MPA_PER_GPA
from generator.estimate.joint import Joint
from generator.formulas.bolts_settling import bolt_stiffness, layered_stiffness, settling_loss
from generator.part.part import Plan
from generator.recipe.model_bolts import NUT

__all__ = ["settled_mm", "settling_of"]


def settled_mm(joint: Joint) -> float:
    """Return by how much all faces between head and thread settle together, mm."""
    faces = 1 + (joint.group.into == NUT)
    between = (not joint.on_original) + (_passes(joint) > MODEL.same_mm) + (joint.washer is not None)
    return SETTLES_THREAD.value + faces * SETTLES_FACE.value + between * SETTLES_JOINT.value


def settling_of(plan: Plan, joint: Joint) -> float | None:
    """Return the preload that is lost by settling, N; None where stiffness is not known.

    The cover under the head and what the bolt passes below it count as clamped; the bolt is threaded to its head, and
    half a diameter of it in its thread gives, too.
    """
    youngs = plan.cover.material.youngs_gpa
    cover = max(joint.grip_mm - _passes(joint), 0.0)
    if youngs is None or joint.grip_mm <= 0.0:
        return None
    layers = [(cover, youngs * MPA_PER_GPA), (_passes(joint), ORIGINAL_YOUNGS_MPA)]
    members = layered_stiffness([layer for layer in layers if layer[0] > 0.0], joint.thread.d_mm)
    free = joint.grip_mm + (0.0 if joint.group.into == NUT else joint.thread.d_mm / 2.0)
    screw = SCREW_YOUNGS_MPA[joint.strength.standard]
    bolt = bolt_stiffness(screw, joint.thread.stress_area_mm2, free)
    return settling_loss(settled_mm(joint), bolt, members)


def _passes(joint: Joint) -> float:
    """Return what the bolt passes through below the cover, mm."""
    return max(joint.grip_mm - (joint.head_z_mm - joint.original_mm), 0.0)
