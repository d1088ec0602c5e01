"""Says loudly what clamping a cover in a load-bearing joint means."""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.remedy import no_less
from generator.checks.check import Check
from generator.estimate.bolt_edits import counterbore_of, through
from generator.estimate.own_screws import lets_heads_bear, own_screws, room_needed
from generator.outline.predicates import Side, contains_point
from generator.part.describe import head_on_original
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import COVER_ONLY, JOINT

ID = "load-bearing"
SOURCE = "common practice, no source: soft plate under a bolt head settles and loses preload"
COSMETIC = "the cover is cosmetic: it never replaces, thins or bears for the original"
IN_THE_JOINT = (
    "clamp the cover in a joint that bears load; whether soft metal may go into it is for the equipment's maker or a "
    f"qualified engineer to decide, and {COSMETIC}"
)
UNHELD = "no bolt in the recipe holds it, and no opening leaves room for bolts that do"
BEHIND = "its own bolts come from behind"
KEEP = "keep it so: hold the cover by screws or adhesive of its own"
KEEP_OUT = "keep it so: none of its screws may be one of the original's joint"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield what is to be said of a load-bearing original.

    ``in-the-joint`` if bolts clamp the cover to it, ``on-original`` if the heads of all of them go through the cover
    and bear on the original itself, ``own-screws`` if all screws are the cover's own, ``cosmetic`` if there are none;
    ``unheld`` if neither a bolt nor an opening leaves the original's own bolts their place.
    """
    if not plan.load_bearing:
        return
    own = {f"original.bolts[{i}]" for i, g in enumerate(recipe.original.bolts) if g.holds == COVER_ONLY}
    joint = [b for b in plan.bolts if b.path not in own]
    clamping = [b for b in joint if not head_on_original(plan, b)]
    if clamping:
        yield _finding(
            "in-the-joint",
            f"{len(clamping)} bolt{'s' * (len(clamping) > 1)} {IN_THE_JOINT}",
            _two_ways(recipe, plan, clamping),
            clamping[0],
        )
    elif joint:
        yield _finding("on-original", f"the bolt heads bear on it, not on the cover; {COSMETIC}", KEEP, joint[0])
    elif not lets_heads_bear(recipe, plan):
        yield _finding("unheld", f"{UNHELD}; {COSMETIC}", _held(recipe, plan), *plan.bolts[:1])
    elif plan.bolts:
        yield _finding("own-screws", f"the cover has screws of its own; {COSMETIC}", KEEP_OUT, plan.bolts[0])
    else:
        yield _finding("cosmetic", COSMETIC, KEEP)


def _two_ways(recipe: Recipe, plan: Plan, bolts: list[Bolt]) -> str:
    """Return the two other ways: heads that bear on the original, or screws of the cover's own."""
    heads = through(recipe, plan, bolts)
    own = own_screws(recipe, plan, bolts)
    if own:
        return (
            f"{heads}, or {own}; the first lets the heads bear on the original{_likely(bolts)}, the second leaves the "
            "joint alone and gives the cover screws of its own beside it; ask the maker or an engineer first"
        )
    return (
        f"{heads} so that the heads bear on the original{_likely(bolts)}; or leave the joint alone: let openings clear "
        f"its bolt heads, and hold the cover by adhesive, or by screws of its own where the rim is "
        f"{no_less(room_needed(recipe, plan))} wide; ask the maker or an engineer first"
    )


def _likely(bolts: list[Bolt]) -> str:
    """Return what is to be said of diameters for heads that are not known."""
    if all(counterbore_of(b)[1] for b in bolts):
        return ""
    return "; the diameter is a likely one, measure the heads and add play"


def _held(recipe: Recipe, plan: Plan) -> str:
    """Return the edits by which bolts over the original hold it again, or what else to do."""
    pocket = next((f.region for f in plan.cover.features if f.layer == "bottom-pocket"), None)
    over = [b for b in plan.bolts if pocket and contains_point(pocket, b.at) is Side.INSIDE]
    paths = dict.fromkeys(b.path for b in over if all(o in over for o in plan.bolts if o.path == b.path))
    if not paths:
        return f"leave it so only if {BEHIND}; else add its bolts to original.bolts, or openings that clear their heads"
    back = " and ".join(f"set {path}.holds to {JOINT}" for path in paths)
    bare = [b for b in over if b.path in paths and not head_on_original(plan, b)]
    seats = f" and {through(recipe, plan, bare)}" if bare else ""
    return f"{back}{seats} so that their heads bear on the original; else add openings that clear its own bolts"


def _finding(code: str, message: str, remedy: str, bolt: Bolt | None = None) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=Severity.WARNS if code in ("in-the-joint", "unheld") else Severity.NOTES,
        message=f"THE ORIGINAL BEARS LOAD: {message}",
        feature="bolt-holes" if bolt else "",
        point_mm=bolt.at if bolt else None,
        face="top" if bolt else "",
        source=SOURCE,
        remedy=remedy,
        path="original.load_bearing",
    )


CHECK = Check(
    ID,
    "cover on a load-bearing original",
    "Soft metal in a bolted joint creeps and settles; the joint loses preload and may loosen or fail.",
    SOURCE,
    run,
)
