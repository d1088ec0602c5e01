"""What changed between two versions of a cover: recipes, packs, or one of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from generator.base.errors import Mistake, RecipeError
from generator.base.frozen_record import frozen_record
from generator.build.compare.areas import AreaChange, area_changes
from generator.build.compare.figures import Change, changes
from generator.build.compare.findings import FindingChange, finding_changes
from generator.build.compare.holes import HoleChange, hole_changes
from generator.build.compare.of_pack import is_pack, version_of_pack
from generator.build.compare.of_recipe import version_of_recipe
from generator.build.compare.sheets import TITLE, Reissue, reissues
from generator.build.compare.version import Version

__all__ = ["Comparison", "compare"]


@frozen_record
class Comparison:
    """What changed from ``old`` to ``new``.

    Attributes:
        old, new: what was compared.
        changes: figures and words that differ.
        holes: round holes and seats that differ.
        areas: layers whose area or depths differ.
        findings: findings that came or went.
        reissue: files that do not show what they did.
        told: what the comparison has to be read with, one sentence each.
    """

    old: Version
    new: Version
    changes: tuple[Change, ...]
    holes: tuple[HoleChange, ...]
    areas: tuple[AreaChange, ...]
    findings: tuple[FindingChange, ...]
    reissue: tuple[Reissue, ...]
    told: tuple[str, ...]

    @property
    def is_same(self) -> bool:
        """Return True if nothing differs."""
        return not (self.changes or self.holes or self.areas or self.findings or self.reissue)

    @property
    def revision_is_stale(self) -> bool:
        """Return True if sheets would show something else under the same name and revision."""
        same = self.old.revision == self.new.revision and self.old.report["name"] == self.new.report["name"]
        return same and any(r.why != TITLE for r in self.reissue)


def compare(old: str | Path, new: str | Path, *, sets: Sequence[str] = ()) -> Comparison:
    """Return what changed from ``old`` to ``new``, each a recipe or the folder of a pack.

    Args:
        old: recipe file or folder of a pack.
        new: the same.
        sets: overrides laid over ``new``, which must then be a recipe.

    Raises:
        RecipeError: a recipe is wrong; or a pack is not whole, with every file that is missing or altered.
        GeometryError: areas cannot be told apart within tolerance.
    """
    if sets and is_pack(new):
        remedy = "leave --set away, or name the recipe that the pack was built from"
        raise RecipeError([Mistake(str(new), 0, 0, "", "a pack, which --set cannot change", "a recipe", remedy)])
    was, now = _both(old, new, sets)
    unread = [
        f"{v.named} has no file of {_layers_named(v)}: areas of these are not compared" for v in (was, now) if v.unread
    ]
    was, now = _without_unread(was, now)
    areas = area_changes(was, now)
    reissue, single = reissues(was, now, areas)
    return Comparison(
        was,
        now,
        changes(was, now),
        hole_changes(was.report, now.report),
        areas,
        finding_changes(was.report, now.report),
        reissue,
        (*was.told, *now.told, *unread, *_told(was, now, single)),
    )


def _both(old: str | Path, new: str | Path, sets: Sequence[str]) -> tuple[Version, Version]:
    """Return both sides; the mistakes of both in one go."""
    found: list[Version] = []
    mistakes: list[Mistake] = []
    for path, laid in ((old, ()), (new, sets)):
        if str(path).lower().endswith(".zip"):
            expected = "the recipe, or the folder of a pack, such as out/NAME, which has the report that is compared"
            remedy = "name one of them; a zip for a shop was made from such a folder"
            mistakes.append(Mistake(str(path), 0, 0, "", "a zip, which holds what a shop needs", expected, remedy))
            continue
        try:
            found.append(version_of_pack(path) if is_pack(path) else version_of_recipe(path, laid))
        except RecipeError as error:
            mistakes += [m for m in error.mistakes if m not in mistakes]
    if mistakes:
        raise RecipeError(mistakes)
    return found[0], found[1]


def _without_unread(old: Version, new: Version) -> tuple[Version, Version]:
    """Return both without the layers that one of them has no file of: they are not gone, they are not known."""
    unread = old.unread | new.unread
    if not unread:
        return old, new
    first, second = (replace(v, cuts={k: c for k, c in v.cuts.items() if k not in unread}) for v in (old, new))
    return first, second


def _layers_named(version: Version) -> str:
    if not version.cuts:
        return "any layer"
    return "the layers " + ", ".join(sorted(f"{part} {layer}" for part, layer in version.unread))


def _told(old: Version, new: Version, single: Sequence[str]) -> list[str]:
    told = [f"only one side has {kind}: not compared" for kind in single]
    versions = [v.report["versions"].get("coverplate") for v in (old, new)]
    if versions[0] and versions[1] and versions[0] != versions[1]:
        told.append(
            f"the packs were made by different versions of the program ({versions[0]}, {versions[1]}): "
            "sheets may differ for that alone"
        )
    return told
