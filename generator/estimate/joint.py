"""The joint under every bolt head: what is clamped, how far the bolt reaches, what bears, and what that stands."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.screws import CONE, HEXAGON, ScrewFace, screw_face
from generator.base.standards import WASHERS, Washer
from generator.base.threads import PropertyClass, Thread, property_class, thread_of
from generator.outline.remembered import remembered_of_the_same
from generator.part.bolts import seat_of
from generator.part.describe import head_on_original
from generator.part.part import Bolt, Feature, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import JOINT, NUT, Bolts, Tapped

__all__ = ["Joint", "groups", "joints", "said", "told"]

WEAK_HEADS: Final = ("ISO 7380-1", CONE)
"""Heads whose loadability is reduced. Source: ISO 7380-1, ISO 10642."""


@frozen_record
class Joint:
    """One bolt in its place.

    Attributes:
        bolt, group: the bolt, and its group in the recipe.
        seat: the feature under its head; None for plain holes.
        seat_path: recipe path of the seat.
        thread: of the bolt.
        screw: standard of the screw.
        face: what bears under its head; None if the tables do not hold that size.
        washer: under the head, or None.
        strength: property class.
        on_original: the head goes through the cover and bears on the original alone.
        head_z_mm: height that the length is counted from: under the head; of a countersunk screw its upper side.
        bears_z_mm: height of the face that bears.
        grip_mm: from ``head_z_mm`` to where the thread begins.
        original_mm: height of the original.
    """

    bolt: Bolt
    group: Bolts
    seat: Feature | None
    seat_path: str
    thread: Thread
    screw: str
    face: ScrewFace | None
    washer: Washer | None
    strength: PropertyClass
    on_original: bool
    head_z_mm: float
    bears_z_mm: float
    grip_mm: float
    original_mm: float

    @property
    def path(self) -> str:
        """Return the recipe path of the bolt's group."""
        return self.bolt.path

    @property
    def screw_key(self) -> str:
        """Return the recipe key that says which screw it is: the seat's, or the bolts' own where there is none."""
        return f"{self.seat_path if self.seat else self.path}.screw"

    @property
    def called(self) -> str:
        """Return what the bolt is called, without its length: ``M6 ISO 4762``."""
        return f"{self.thread.name} {self.screw}"

    @property
    def bears_mm(self) -> float | None:
        """Return the outer diameter of what bears on the cover: of washer or head; None if it is not known."""
        if self.washer is not None and not self.is_cone:
            return self.washer.d2_mm
        return self.face.bears_mm if self.face else None

    @property
    def is_cone(self) -> bool:
        """Return True for a countersunk screw in its cone."""
        return self.screw == CONE

    @property
    def is_hexagon(self) -> bool:
        """Return True for a head that is turned from outside."""
        return self.screw == HEXAGON

    @property
    def is_weak_headed(self) -> bool:
        """Return True if the head bears less than the bolt."""
        return self.screw in WEAK_HEADS

    @property
    def thread_mm(self) -> float | None:
        """Return how deep the full thread is, mm: as stated, or what is left of an original that is tapped itself.

        None where it is taken to be as deep as the bolt needs.
        """
        into, passes = self.group.into, self.group.passes
        if isinstance(into, Tapped) and into.depth is not None:
            return into.depth
        if into == NUT or passes is None or passes >= self.original_mm:
            return None
        return self.original_mm - passes

    @property
    def in_the_joint(self) -> bool:
        """Return True if the bolt clamps the cover together with the original."""
        return self.group.holds == JOINT and not self.on_original


def joints(recipe: Recipe, plan: Plan) -> Iterator[Joint]:
    """Yield the joint of every bolt whose thread is known, in the order of the recipe."""
    yield from _all_joints(recipe, plan)


@remembered_of_the_same
def _all_joints(recipe: Recipe, plan: Plan) -> tuple[Joint, ...]:
    """Return them; half the checks ask."""
    return tuple(_joints(recipe, plan))


def _joints(recipe: Recipe, plan: Plan) -> Iterator[Joint]:
    seats = {f.name: f for f in plan.cover.features if f.layer == "seats"}
    groups = {f"original.bolts[{i}]": (g, *seat_of(recipe, i)) for i, g in enumerate(recipe.original.bolts)}
    for bolt in plan.bolts:
        thread = thread_of(bolt.thread)
        if thread is None:
            continue
        group, given, path = groups[bolt.path]
        screw = given.screw if given else group.screw
        yield _joint(plan, bolt, group, seats.get(f"seat-{bolt.name}"), path, thread, screw)


def groups(recipe: Recipe, plan: Plan) -> list[tuple[Joint, ...]]:
    """Return the joints, those of one group of the recipe together."""
    found: dict[str, list[Joint]] = {}
    for joint in joints(recipe, plan):
        found.setdefault(joint.path, []).append(joint)
    return [tuple(group) for group in found.values()]


def told(group: tuple[Joint, ...]) -> str:
    """Return the bolts of a group in words: ``bolt-1``, ``bolt-1 and bolt-2``, ``bolt-1 to bolt-4``."""
    first, last = group[0].bolt.name, group[-1].bolt.name
    return first if first == last else f"{first} to {last}" if len(group) > 2 else f"{first} and {last}"


def said(group: tuple[Joint, ...], plural: str, singular: str) -> str:
    """Return the bolts of a group with what they do: ``bolt-1 and bolt-2 press``, ``bolt-1 presses``."""
    return f"{told(group)} {singular if len(group) == 1 else plural}"


def _joint(plan: Plan, bolt: Bolt, group: Bolts, seat: Feature | None, path: str, thread: Thread, screw: str) -> Joint:
    """Return the joint of one bolt."""
    face = screw_face(screw, thread.name)
    washer = next((w for w in WASHERS if w.thread == thread.name), None) if group.washer else None
    on_original = head_on_original(plan, bolt)
    height = plan.original_height_mm
    bears = height if on_original else seat.z_from_mm if seat else plan.cover.thickness_mm
    if screw == CONE:
        wide = face.wide_mm if face else 2.0 * thread.d_mm
        head = bears + (wide - bolt.hole_mm) / 2.0
    else:
        head = bears + (washer.h_mm if washer else 0.0)
    passes = height if group.passes is None else group.passes
    return Joint(
        bolt=bolt,
        group=group,
        seat=seat,
        seat_path=path,
        thread=thread,
        screw=screw,
        face=face,
        washer=washer,
        strength=property_class(group.property_class, thread.d_mm),
        on_original=on_original,
        head_z_mm=head,
        bears_z_mm=bears,
        grip_mm=head - (height - passes),
        original_mm=height,
    )
