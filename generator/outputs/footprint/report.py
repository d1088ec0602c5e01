"""A short report on a traced footprint, in Markdown."""

from __future__ import annotations

from collections.abc import Iterator
from math import acos, degrees

from generator.outputs.footprint.account import Account
from generator.outputs.footprint.fragment import distance_lines, dropped_lines, relation_lines
from generator.outputs.footprint.told import given_up_lines, length_of, reading_lines, size
from generator.outputs.markdown import escape, table
from generator.trace.damage import damage_words
from generator.trace.disputes import dispute_words
from generator.trace.doubts import COVERAGE
from generator.trace.footprint import Feature
from generator.trace.lost_edges import lost_words
from generator.trace.photo import SeenByCamera
from generator.trace.primitives import CIRCLE, LINE
from generator.trace.unknowns import OUT_HOLES, OUT_OUTLINE, SCALE_U, SCALE_V, SKEW

__all__ = ["report"]


def report(account: Account) -> str:
    """Return the report."""
    return "\n".join([*_lines(account)]) + "\n"


def _lines(account: Account) -> Iterator[str]:
    footprint = account.footprint
    yield f"# {escape(account.name)}: traced footprint"
    yield ""
    yield f"From {', '.join(escape(i) for i in account.images)}. Lengths in mm; ± is the 95 % uncertainty (k = 2)."
    yield ""
    yield (
        f"**The outline is known to ± {footprint.outline_doubt:.3f} mm** across its edge, root mean square along it. "
        "A cover's clearance around the original should be at least one and a half times that; the recipe lines beside "
        "this report hand it on to the fit check."
    )
    yield ""
    yield f"Frame: {footprint.placement.rule}."
    yield from _section("What the readings cannot tell", list(account.untold))
    yield from _section("Readings that contradict each other", [dispute_words(d) for d in account.traced.disputes])
    yield from _section("Readings that were given up", given_up_lines(account))
    yield from _section("Damage", [damage_words(d) for d in account.damages])
    yield from _section("Edges lost in their shadow", [lost_words(e) for e in account.lost])
    yield from _section("What one more reading would help most", [f"{w.what}: {w.why}" for w in account.wanted])
    yield from _section("Remarks", list(account.traced.remarks))
    yield from ("", "## Features", "")
    yield from table(
        ("no.", "what", "size", "place", "edge ±", "misfit", "damaged"),
        [_row(f) for f in footprint.features],
        right=(0, 4, 5, 6),
    )
    yield from _section("Distances", distance_lines(account))
    yield from _section("Readings", reading_lines(account))
    if account.reference == "scan":
        yield from _section("Scanner", list(_scanner(account)))
    yield from _section("Camera", list(_camera(account)))
    yield from _table("Relations that hold, with the misfit that each costs", relation_lines(account))
    yield from _table("Relations that were given up", dropped_lines(account))
    yield ""
    yield (
        "The misfit of a relation is by how much chi-square would fall without it: about 1 for each of its equations "
        "is chance, more than 12 is given up. Any of them can be named to `--forbid` or `--demand`."
    )


def _section(title: str, sentences: list[str]) -> Iterator[str]:
    if sentences:
        yield from ("", f"## {title}", "")
        yield from (f"- {escape(s)}" for s in sentences)


def _table(title: str, lines: list[str]) -> Iterator[str]:
    if lines:
        yield from ("", f"## {title}", "", "```text", *lines, "```")


def _row(f: Feature) -> tuple[str, ...]:
    p = f.primitive
    tail = (f"{COVERAGE * f.doubt.edge:.3f}", f"{f.off:.3f}", f"{100 * f.given_up:.0f} %" if f.given_up > 0.005 else "")
    if p.kind == LINE:
        faces = f"faces {degrees(p.values[0]) % 360.0:.2f}°, {p.values[1]:.3f} from the origin"
        return str(f.number), "line", f"{length_of(f):.2f} long", faces, *tail
    # "+ 0.0" after rounding: no "-0.000"
    x, y = (round(v, 3) + 0.0 for v in p.values[:2])
    at = f"({x:.3f}, {y:.3f}) ± {max(COVERAGE * f.doubt.place, 0.0005):.3f}"
    if p.kind == CIRCLE:
        return str(f.number), "circle", f"Ø {size(2 * p.values[2], 2 * COVERAGE * f.doubt.radius)}", at, *tail
    kind = "hollow arc" if p.side < 0 and p.loop == 0 else "arc"
    return str(f.number), kind, f"R {size(p.values[2], COVERAGE * f.doubt.radius)}", at, *tail


def _camera(account: Account) -> Iterator[str]:
    """Yield what a photo's reference told of the camera; nothing for scans."""
    seen = account.traced.seen[0]
    if not isinstance(seen, SeenByCamera):
        return
    camera = seen.camera
    tilt = degrees(acos(max(-1.0, min(1.0, -float(camera.turn[2, 2])))))
    yield (
        f"it stood {camera.centre[2]:.0f} mm above the table, {tilt:.1f}° off square; that tells the "
        f"{seen.shape.name}, whose sides are {1e3 * seen.stand.rms_mm:.0f} µm off straight lines (root mean square)"
    )
    yield f"the part is taken to be {seen.thickness:.2f} mm thick: its top and its bottom edge are seen in their planes"


def _scanner(account: Account) -> Iterator[str]:
    found = account.traced.solved.found

    def told(at: int, factor: float, unit: str) -> str:
        half = COVERAGE * max(float(found.covariance[at, at]), 0.0) ** 0.5
        return f"{factor * float(found.x[at]):+.3f} ± {factor * half:.3f} {unit}"

    yield f"its scale is off by {told(SCALE_U, 100, '%')} along rows and {told(SCALE_V, 100, '%')} along columns"
    yield f"its axes are out of square by {told(SKEW, 1000, 'mrad')}"
    yield (
        f"edges are seen too far out by {told(OUT_OUTLINE, 1, 'mm')} at the outline, by {told(OUT_HOLES, 1, 'mm')} at "
        "holes"
    )
