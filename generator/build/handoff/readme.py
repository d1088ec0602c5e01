"""The letter to the shop that lies on top: what, how many, of what, which file counts, whom to ask."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from textwrap import wrap
from typing import Final

from generator.base.cautions import cautions
from generator.base.units import length_unit
from generator.build.handoff.choose import purpose
from generator.part.describe import is_through
from generator.part.part import Part, Plan
from generator.part.relation import box_of
from generator.recipe.model import Recipe
from generator.recipe.read import Reading, origin_of

__all__ = ["README", "missing", "readme"]

README: Final = "README.txt"
WIDTH: Final = 78
NOT_GIVEN: Final = "NOT GIVEN - please ask before you start"


def missing(reading: Reading) -> list[tuple[str, str]]:
    """Return what the recipe leaves out and a shop will ask for: recipe path, and a sentence."""
    recipe = reading.recipe
    order = recipe.order
    written = "" if origin_of(reading, "cover.material").source == "default" else "written"
    wanted = (
        ("order.contact", order.contact, "the shop has nobody to ask: say whom, by name and telephone or address"),
        ("order.owner", order.owner, "the drawings name no owner"),
        ("order.drawn_by", order.drawn_by, "the drawings do not say who made them"),
        ("order.approved_by", order.approved_by, "the drawings do not say who approved them"),
        ("cover.material", written, "the material is the one that is taken where none is written; write yours"),
        ("order.finish", order.finish, "no finish of the cover is told"),
        ("revision", recipe.revision, "nobody can tell these files from those of the last time"),
    )
    return [(path, sentence) for path, value, sentence in wanted if not value.strip()]


def readme(recipe: Recipe, plan: Plan, files: Mapping[str, bytes], agreed: str) -> bytes:
    """Return README.txt: UTF-8, lines ended as every editor takes them.

    Args:
        recipe: order, tolerances.
        plan: of the cover.
        files: everything else that goes along, by path.
        agreed: a sentence on how the files were compared.
    """
    paragraphs = [
        *_head(plan),
        *_making(recipe, plan),
        *_authority(recipe, plan),
        *_working(plan),
        *_asking(recipe),
        *_cautions(plan),
        *_listing(files, agreed),
    ]
    return ("\r\n".join(line for text in paragraphs for line in _lines(text)) + "\r\n").encode("utf-8")


def _lines(text: str) -> list[str]:
    """Return a paragraph in lines; one that is indented is indented as a whole, rules and blank lines stay."""
    inset = " " * (len(text) - len(text.lstrip(" ")))
    hanging = inset + ("  " if inset else "")
    whole = wrap(text, WIDTH, subsequent_indent=hanging, break_on_hyphens=False, break_long_words=False)
    return whole or [""]


def _title(text: str) -> list[str]:
    return ["", text.upper(), "-" * len(text), ""]


def _head(plan: Plan) -> Iterator[str]:
    title = plan.title or plan.name
    yield f"{title}"
    yield "=" * min(WIDTH, len(title))
    yield f"{plan.name}, revision {plan.revision or NOT_GIVEN}"


# ------------------------------------------------------------------ what to make
def _making(recipe: Recipe, plan: Plan) -> Iterator[str]:
    yield from _title("What to make")
    count = recipe.order.quantity
    for part in plan.parts:
        if part.profile:
            yield f"  {count} x {part.name}: {_body(recipe, plan, part)}"
    if plan.inserts:
        yield ""
        yield "Inserts are delivered loose; do not press or bond them in unless the order says so."
    if plan.notes.strip():
        yield ""
        yield plan.notes.strip()


def _body(recipe: Recipe, plan: Plan, part: Part) -> str:
    """Return material, size, finish and how it is cut, of one part."""
    unit, box = length_unit(plan.units), box_of(part.profile)
    is_cover = part is plan.cover
    finish = (recipe.order.finish if is_cover else recipe.order.insert_finish) or NOT_GIVEN
    size = unit.length(box.width_mm, box.height_mm, part.thickness_mm)
    both = {f.face for f in part.features if not is_through(part, f)}
    faces = "milled on both faces" if len(both) > 1 else "milled on one face" if both else "cut through only"
    return f"{part.material.name}, {size}, {faces}; finish: {finish}."


# ------------------------------------------------------------------ which file counts
def _authority(recipe: Recipe, plan: Plan) -> Iterator[str]:
    yield from _title("Which file counts")
    unit = length_unit(plan.units)
    yield "The files were compared with each other and agree. If you still find that two of them disagree:"
    yield ""
    yield "  1. Tolerances, material, finish, edges and quantity: the drawing (PDF) counts."
    yield "  2. Shape, and every size that the drawing does not give: the STEP file of the part counts."
    yield "  3. The DXF files of the layers are for programming the cuts. They follow 1 and 2."
    yield "  4. Stop and ask. Do not split the difference."
    yield ""
    yield (
        f"General tolerances: {recipe.tolerances.general or NOT_GIVEN}. Tighter ones stand on the drawing, with the "
        "same numbers as on the inspection sheet."
    )
    yield ""
    drawn = (
        f"Drawings, inspection sheet and parts list are in {unit.plural}." if unit.mm != 1.0 else "Lengths are in mm."
    )
    yield f"{drawn} STEP files and the DXF files of the layers are in millimetres, 1:1."
    yield ""
    yield f"Revision of every file: {plan.revision or NOT_GIVEN}. Please throw away files of any other revision."


def _working(plan: Plan) -> Iterator[str]:
    yield from _title("Before you cut")
    axis = "x" if plan.flip.direction == "y" else "y"
    yield (
        "One layer file is one operation; its name says part, face that is up, and operation. Files of the bottom face "
        "are drawn as the machine sees them after the blank is turned over: they are already mirrored. Do not mirror "
        f"them again. The cover's blank is turned over about the line {axis} = {plan.flip.at_mm:z.4g} mm."
    )
    if plan.blank.dowel_holes:
        yield ""
        yield "Dowel holes on that line register the blank; they are drilled and reamed in the first setup."


def _asking(recipe: Recipe) -> Iterator[str]:
    yield from _title("Whom to ask")
    yield recipe.order.contact.strip() or NOT_GIVEN
    for words, value in (("Owner", recipe.order.owner), ("Approved by", recipe.order.approved_by)):
        if value.strip():
            yield f"{words}: {value.strip()}"
    if recipe.order.date.strip():
        yield f"Date of issue: {recipe.order.date.strip()}"


def _cautions(plan: Plan) -> Iterator[str]:
    yield from _title("Cautions")
    for c in cautions(load_bearing=plan.load_bearing):
        yield f"  {c.title}: {c.text}"


# ------------------------------------------------------------------ the files
def _listing(files: Mapping[str, bytes], agreed: str) -> Iterator[str]:
    yield from _title("The files")
    yield agreed
    yield ""
    yield from _table([(path, purpose(path), hashlib.sha256(data).hexdigest()) for path, data in sorted(files.items())])


def _table(rows: Sequence[tuple[str, str, str]]) -> Iterator[str]:
    for path, words, digest in rows:
        yield f"  {path}: {words}"
        yield f"    SHA-256 {digest}"
