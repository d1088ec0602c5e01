"""Does anything hold the part when its outline is cut free, and does it bear the pull of the cutter?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import ceil, degrees, pi

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import NOISE, Check, no_less
from generator.estimate.holding import bears_n, pull_of, tabs_of
from generator.estimate.holding_sized import by_tabs, stronger, with_size
from generator.outline.measure import length
from generator.part.part import Feature, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_holding import ADHESIVE, CLAMPS, OWN_HOLES, SKIN, TABS, VACUUM, Holding

ID = "holding"
FORBIDS, WARNS = Severity.FORBIDS, Severity.WARNS
TURN = 2.0 * pi


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``not-said``, ``comes-loose``, ``too-few``, ``thin-skin``, ``leaks`` and ``weak`` about the last cut.

    Where nothing is left to cut, or tabs hold one side only: ``not-cut``, ``tabs-meet``, ``one-sided``.
    """
    held = recipe.holding
    if not isinstance(held, Holding):
        yield _finding(
            "not-said",
            Severity.NOTES,
            "nothing is said of what holds the part when its outline, the last cut, sets it free: it may be thrown",
            f"{by_tabs(recipe, plan)}, or leave it if you see to that at the machine",
        )
        return
    if held.by == CLAMPS:
        yield _finding(
            "comes-loose",
            Severity.WARNS,
            "clamps hold the blank; the part inside it comes loose when its outline is cut through",
            by_tabs(recipe, plan, held),
        )
    yield from _few(recipe, plan, held)
    yield from _nothing_cut(recipe, plan, held)
    yield from _one_sided(held)
    yield from _skin(recipe, held)
    if held.by == VACUUM and any(f.z_from_mm <= 0.0 and f.z_to_mm >= plan.cover.thickness_mm for f in _open(plan)):
        yield _finding(
            "leaks",
            Severity.WARNS,
            "bolt holes or openings go through the part: the vacuum table draws air there",
            f"{by_tabs(recipe, plan, held)}, or leave it with a seal round every hole",
        )
    yield from _strength(recipe, plan, held)


def _open(plan: Plan) -> list[Feature]:
    return [f for f in plan.cover.features if f.layer in ("bolt-holes", "openings")]


def _few(recipe: Recipe, plan: Plan, held: Holding) -> Iterator[Finding]:
    """Yield ``too-few`` for tabs, or screws through the part's own holes, on which it tips."""
    least = recipe.limits.flip.tabs
    if held.by == TABS and tabs_of(held) < least.value:
        wanted = ceil(least.value - NOISE)
        edit = f"set holding.count to at least {wanted}" + (" and leave holding.at out" if held.at else "")
        what = "tabs" if tabs_of(held) > 1 else "tab"
        yield _held(f"the part hangs on {tabs_of(held)} {what}: it tips", edit, tabs_of(held), least)
    elif held.by == OWN_HOLES and len(plan.bolts) < least.value - 1.0:
        said = f"{len(plan.bolts)} bolt hole{'s' if len(plan.bolts) != 1 else ''} for screws: the part turns"
        yield _held(said, by_tabs(recipe, plan, held), len(plan.bolts), least)


def _nothing_cut(recipe: Recipe, plan: Plan, held: Holding) -> Iterator[Finding]:
    """Yield ``not-cut`` for tabs or a skin as thick as the plate, ``tabs-meet`` for tabs that fill the outline."""
    thick, round_mm, many = plan.cover.thickness_mm, length(plan.cover.profile), tabs_of(held)
    if held.by in (TABS, SKIN) and held.thickness >= thick - NOISE:
        said = f"{held.by} of {held.thickness:g} mm in a part of {thick:g} mm: its outline is not cut at all"
        edit = with_size(recipe, plan, held, "thickness", thick / 4.0)
        yield _finding("not-cut", FORBIDS, said, edit, (held.thickness, thick, ""), unit="mm")
    if held.by == TABS and many * held.width >= round_mm - NOISE:
        said = f"{many} tabs of {held.width:g} mm are longer than the outline, {round_mm:.4g} mm: nothing of it is cut"
        edit = with_size(recipe, plan, held, "width", round_mm / (2.0 * many))
        yield _finding("tabs-meet", FORBIDS, said, edit, (many * held.width, round_mm, ""), unit="mm")


def _one_sided(held: Holding) -> Iterator[Finding]:
    """Yield ``one-sided`` for tabs that all lie within half a turn: the part tips about the outer two."""
    if held.by != TABS or len(held.at) < 2:
        return
    round_about = sorted(a % TURN for a in held.at)
    open_rad = max(b - a for a, b in pairwise((*round_about, round_about[0] + TURN)))
    if open_rad > pi + NOISE:
        said = f"no tab holds the part over {degrees(open_rad):.4g}° of its outline, more than half of it: it tips"
        figures = (degrees(open_rad), degrees(pi), "")
        edit = "leave holding.at out, or spread it so that no two neighbours are more than 180° apart"
        yield _finding("one-sided", WARNS, said, edit, figures, unit="°")


def _held(message: str, remedy: str, figure: float, limit: Figure) -> Finding:
    held = (float(figure), limit.value, "")
    return _finding("too-few", Severity.WARNS, message, remedy, held, limit.told_source, unit="tabs")


def _skin(recipe: Recipe, held: Holding) -> Iterator[Finding]:
    """Yield ``thin-skin`` for a skin or tabs that the error of depths may cut through."""
    limit = recipe.limits.flip.skin
    left = held.thickness - recipe.tolerances.depth
    if held.by not in (SKIN, TABS) or left >= limit.value - NOISE:
        return
    yield _finding(
        "thin-skin",
        Severity.WARNS,
        f"{held.thickness:g} mm of {held.by} less an error of depth of {recipe.tolerances.depth:g} mm leave "
        f"{left:.3g} mm",
        f"set holding.thickness to at least {no_less(limit.value + recipe.tolerances.depth)}",
        (left, limit.value, ""),
        limit.told_source,
        unit="mm",
    )


def _strength(recipe: Recipe, plan: Plan, held: Holding) -> Iterator[Finding]:
    """Yield ``weak`` where the holding bears less than the pull of the cutter several times over."""
    pull = pull_of(recipe, plan)
    bears = None if pull is None else bears_n(recipe, plan, held, pull)
    if pull is None or bears is None:
        return
    limit, ratio = recipe.limits.flip.hold_safety, bears / pull.force_n
    if ratio >= limit.value:
        return
    yield _finding(
        "weak",
        Severity.WARNS,
        f"{held.by} {_bear(held)} about {bears:.0f} N, {ratio:.2g} times the {pull.force_n:.0f} N of the end mill of "
        f"{pull.cutter_mm:g} mm that goes round",
        stronger(recipe, plan, held),
        (ratio, limit.value, ""),
        f"{_known(recipe, held)}; {limit.told_source}",
        unit=limit.unit,
    )


def _bear(held: Holding) -> str:
    """Return the verb for what holds: of one thing or of several."""
    return "bear" if held.by in (TABS, CLAMPS, OWN_HOLES) else "bears"


def _known(recipe: Recipe, held: Holding) -> str:
    """Return where the strength of the holding comes from."""
    limits = recipe.limits.flip
    if held.by == ADHESIVE:
        return limits.tape_shear.told_source
    return limits.vacuum_grip.told_source if held.by == VACUUM else "beam tables; proof strength of the plate"


def _finding(
    code: str,
    severity: Severity,
    message: str,
    remedy: str,
    held: tuple[float, float, str] | None = None,
    source: str = GEOMETRY,
    *,
    unit: str = "",
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature="outer-profile",
        face="top",
        figure=held[0] if held else None,
        limit=held[1] if held else None,
        unit=unit if held else "",
        source=source,
        remedy=remedy,
        path="holding",
    )


CHECK = Check(
    ID,
    "something holds the part to the last",
    "The last cut sets the part free. One that is not held then tips into the cutter or is thrown.",
    "beam tables (tabs as beams built in at both ends); specific cutting force by VDI 3323 groups (ISCAR 2017, read)",
    run,
    formula="tabs: stress = F l / 2 / (t w² / 6) + a F l / 2 / (w t² / 6), each shared among them, l the cutter's "
    "diameter; skin: 0.577 x proof strength x thickness x length of the outline; adhesive and vacuum: grip x area that "
    "lies on the table",
    limits=(
        "flip.tabs",
        "flip.skin",
        "flip.hold_safety",
        "flip.tape_shear",
        "flip.vacuum_grip",
        "floor.tool_axial",
    ),
)
