"""Says loudly what clamping a cover in a load-bearing joint means."""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import Check, no_less
from generator.part.bolts import seat_of
from generator.part.describe import head_on_original
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import COVER_ONLY

ID = "load-bearing"
SOURCE = "common practice, no source: soft plate under a bolt head settles and loses preload"
COSMETIC = "the cover is cosmetic: it never replaces, thins or bears for the original"
IN_THE_JOINT = (
    "clamp the cover in a joint that bears load; whether soft metal may go into it is for the equipment's maker or a "
    f"qualified engineer to decide, and {COSMETIC}"
)
KEEP = "keep it so: hold the cover by screws or adhesive of its own"
KEEP_OUT = "keep it so: none of its screws may be one of the original's joint"
OWN_SCREWS = (
    "or leave the joint alone: let openings clear its bolt heads, and give the cover screws of its own in "
    "original.bolts, `{thread: M4, at: [[x, y]], holds: cover only}`"
)


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield what is to be said of a load-bearing original.

    ``in-the-joint`` if bolts clamp the cover to it, ``on-original`` if the heads of all of them go through the cover
    and bear on the original itself, ``own-screws`` if all screws are the cover's own, ``cosmetic`` if there are none.
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
            f"{_through(recipe, plan, clamping)} so that the heads bear on the original; {OWN_SCREWS}; ask the maker "
            "or an engineer first",
            clamping[0],
        )
    elif joint:
        yield _finding("on-original", f"the bolt heads bear on it, not on the cover; {COSMETIC}", KEEP, joint[0])
    elif plan.bolts:
        yield _finding("own-screws", f"the cover has screws of its own; {COSMETIC}", KEEP_OUT, plan.bolts[0])
    else:
        yield _finding("cosmetic", COSMETIC, KEEP)


def _finding(code: str, message: str, remedy: str, bolt: Bolt | None = None) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=Severity.WARNS if code == "in-the-joint" else Severity.NOTES,
        message=f"THE ORIGINAL BEARS LOAD: {message}",
        feature="bolt-holes" if bolt else "",
        point_mm=bolt.at if bolt else None,
        face="top" if bolt else "",
        source=SOURCE,
        remedy=remedy,
        path="original.load_bearing",
    )


def _through(recipe: Recipe, plan: Plan, bolts: list[Bolt]) -> str:
    """Return the edits that let the heads of all these bolts through the cover."""
    stock = recipe.cover.stock
    depth = no_less(max(stock.thickness, plan.cover.thickness_mm))
    seats = {f"original.bolts[{i}]": seat_of(recipe, i) for i in range(len(recipe.original.bolts))}
    edits: dict[str, None] = {}
    for bolt in bolts:
        seat, path = seats[bolt.path]
        if seat is None:
            size = "" if bolt.thread else " and the diameter of the heads with play"
            edits[f"give {path} the screw ISO 4762 and the depth {depth}{size}"] = None
        elif seat.screw == "ISO 10642":  # a cone holds the head wherever it ends
            edits[f"set {path}.screw to ISO 4762"] = edits[f"set {path}.depth to {depth}"] = None
        else:
            edits[f"set {path}.depth to {depth}"] = None
    return " and ".join(edits)


CHECK = Check(
    ID,
    "cover on a load-bearing original",
    "Soft metal in a bolted joint creeps and settles; the joint loses preload and may loosen or fail.",
    SOURCE,
    run,
)
