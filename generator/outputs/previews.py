"""Pictures of the finished piece for README and shop: top face, bottom face, and taken apart."""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.units import length_unit
from generator.outline.measure import Bounds, bounds, signed_area
from generator.outline.region import Region
from generator.outputs.glyphs import heading
from generator.outputs.output import Files, Output, Proof, Work
from generator.outputs.paint import CHORD_PX, GROUND_SHADOW, SHADOW_INK, Brush, paint_body, path_of, projected_path
from generator.outputs.preview_exploded import explode, exploded_svg
from generator.outputs.preview_page import CAPTION, HEIGHT, MARGIN, WIDTH, caption, page, scale_bar, soft_shadow
from generator.outputs.preview_proof import prove_faces, prove_flat
from generator.outputs.projection import View, straight_down
from generator.outputs.raster import rasterise
from generator.outputs.scene import Body, SlabsOf, body_of, inserts_of, turned_over
from generator.outputs.shade import shadow_on
from generator.part.part import Plan
from generator.part.slabs import slabs

__all__ = ["OUTPUT", "bottom_svg", "flat_view", "top_svg"]

TOP, BOTTOM, EXPLODED = "previews/top.png", "previews/bottom.png", "previews/exploded.png"


def flat_view(box: Bounds) -> View:
    """Return the straight view that fills the page above its caption with ``box``."""
    room_w, room_h = WIDTH - 2 * MARGIN - 24.0, HEIGHT - CAPTION - 2 * MARGIN
    scale = min(room_w / box.width_mm, room_h / box.height_mm)
    mid = box.centre
    return straight_down().placed(scale, (WIDTH / 2 - scale * mid.x, (HEIGHT - CAPTION) / 2 + scale * mid.y))


def sizes_text(plan: Plan) -> str:
    """Return the main dimensions of the cover as one line."""
    b = bounds(plan.cover.profile)
    return length_unit(plan.units).length(b.width_mm, b.height_mm, plan.cover.thickness_mm)


def _flat_svg(plan: Plan, bodies: list[Body], cover: Body, says: str) -> str:
    """Return the picture of bodies seen straight from above; ``cover`` is the one that the page is filled with."""
    outline = _widest(cover)
    view = flat_view(bounds(outline))
    brush = Brush(view, sheen=(float(WIDTH), float(HEIGHT)))
    painted = "".join(element for body in bodies for element in paint_body(body, brush))
    bar, taken = scale_bar(view.scale, length_unit(plan.units))
    words = caption(heading(plan.title, plan.name), says, sizes_text(plan), right_px=taken)
    return page(_ground(cover, outline, view) + painted + words + bar)


def _widest(body: Body) -> Region:
    """Return the widest section of a body: that of its lowest slab, or of its highest when that is a broken rim."""
    return max((r for s in body.slabs for r in (s.lower, s.upper)), key=lambda r: bounds(r).width_mm)


def _ground(body: Body, outline: Region, view: View) -> str:
    """Return what the piece lies on: its soft shadow round it, and bright paper with a crisp shadow in its openings."""
    whole = projected_path((c for c in outline if signed_area(c) > 0.0), view, 0.0)
    cast = shadow_on(outline, body.slabs, body.bottom_mm, reach=0.55, chord_mm=CHORD_PX / view.scale)
    inside = "".join(path_of(view.project(p, 0.0)) for p in cast)
    return (
        soft_shadow(whole, shift=(6.0, 9.0), spread_px=17.0, strength=0.3)
        + f'<path d="{whole}" fill="#f7f8fa"/><path d="{inside}" fill="{SHADOW_INK}" fill-opacity="{GROUND_SHADOW}"/>'
    )


def _top(plan: Plan, slabs_of: SlabsOf) -> tuple[list[Body], Body]:
    """Return what the top picture shows, in order of painting, and the cover among it."""
    bodies = [body_of(p, slabs_of(p)) for p in (plan.cover, *inserts_of(plan))]
    return bodies, bodies[0]


def _bottom(plan: Plan, slabs_of: SlabsOf) -> tuple[list[Body], Body]:
    """Return what the bottom picture shows: all turned over, so that inserts show only through openings."""
    t = plan.cover.thickness_mm
    bodies = [turned_over(body_of(p, slabs_of(p)), plan.flip, t) for p in (*inserts_of(plan), plan.cover)]
    return bodies, bodies[-1]


def top_svg(plan: Plan, slabs_of: SlabsOf) -> str:
    """Return the top face as SVG: cover with its inserts in place."""
    return _flat_svg(plan, *_top(plan, slabs_of), f"Top face · {plan.cover.material.name}")


def bottom_svg(plan: Plan, slabs_of: SlabsOf) -> str:
    """Return the bottom face as SVG, as it is seen after turning the piece over about its flip axis."""
    return _flat_svg(plan, *_bottom(plan, slabs_of), "Bottom face, seen after turning over")


def _cut(plan: Plan) -> SlabsOf:
    """Return the slabs of every part, made once."""
    made = {p.name: slabs(p) for p in plan.parts}
    return lambda part: made[part.name]


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield the three pictures."""
    slabs_of = _cut(work.plan)
    yield TOP, rasterise(top_svg(work.plan, slabs_of))
    yield BOTTOM, rasterise(bottom_svg(work.plan, slabs_of))
    yield EXPLODED, rasterise(exploded_svg(work.plan, slabs_of))


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Yield what is measured in the pictures, read back."""
    slabs_of = _cut(work.plan)
    for path, (bodies, cover) in ((TOP, _top(work.plan, slabs_of)), (BOTTOM, _bottom(work.plan, slabs_of))):
        view = flat_view(bounds(_widest(cover)))
        yield from prove_flat(path, files[path], bodies, cover, view)
    scene = explode(work.plan, slabs_of)
    yield from prove_faces(EXPLODED, files[EXPLODED], (scene.cover, *scene.inserts), scene.view)


OUTPUT = Output(
    name="previews",
    help="Pictures as PNG: top face, bottom face, and taken apart.",
    needs_solid=False,
    write=write,
    prove=prove,
)
