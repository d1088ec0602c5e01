"""Recipes made by chance, and from the demo folder, for what must hold of every drawing."""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "part"))

from part_samples import box, disc, plan_of  # noqa: E402

from generator import api  # noqa: E402
from generator.base.errors import GeometryError, RecipeError  # noqa: E402
from generator.base.fields import OutlineSpec  # noqa: E402
from generator.base.general_tolerances import CLASSES  # noqa: E402
from generator.part.part import Plan  # noqa: E402
from generator.part.slabs import slabs  # noqa: E402
from generator.recipe.model import Cover, Opening, Original, Recipe, Stock  # noqa: E402
from generator.recipe.model_bolts import BoltCircle, Bolts, Seat  # noqa: E402
from generator.recipe.model_dowels import Dowels  # noqa: E402
from generator.recipe.model_inlay import Artwork, Engraving, Inlay, InsertStock  # noqa: E402
from generator.recipe.model_order import Order  # noqa: E402
from generator.recipe.model_paper import FIRST_ANGLE, THIRD_ANGLE, Paper  # noqa: E402
from generator.recipe.model_tolerances import Tolerances  # noqa: E402

DEMO = sorted((ROOT / "recipes").glob("*.yaml"))
WORDS = [
    "cover",
    "for",
    "the",
    "keeper",
    "plate",
    "of",
    "a",
    "gate",
    "at",
    "its",
    "far",
    "end",
    "where",
    "nobody",
    "goes",
    "in",
    "winter",
]


def demo(path: Path) -> tuple[Recipe, Plan]:
    checked = api.check(path)
    return checked.reading.recipe, checked.plan


def by_chance(count: int, *, first: int = 0) -> Iterator[tuple[int, Recipe, Plan]]:
    """That many recipes whose plan can be made and whose parts have a body, with the seed of each."""
    seed, found = first, 0
    while found < count:
        recipe = _recipe(random.Random(seed))
        try:
            plan = plan_of(recipe)
            for part in plan.parts:
                slabs(part)
        except (RecipeError, GeometryError):
            plan = None
        if plan is not None:
            found += 1
            yield seed, recipe, plan
        seed += 1


def _recipe(r: random.Random) -> Recipe:
    wide, high = r.choice([(r.uniform(25, 60), r.uniform(18, 50)), (r.uniform(60, 160), r.uniform(30, 120))])
    if r.random() < 0.08:
        wide, high = r.uniform(200, 700), r.uniform(60, 400)
    at = r.choice([(0.0, 0.0), (0.0, 0.0), (r.uniform(-300, 300), r.uniform(-50, 500))])
    return Recipe(
        name="by-chance",
        title=" ".join(r.sample(WORDS, r.randint(0, 14))),
        revision=r.choice(["A", "", "12", "draft of the ninth of May"]),
        units=r.choice(["mm", "mm", "inch"]),
        original=Original(
            height=r.uniform(1, 5),
            load_bearing=r.random() < 0.5,
            footprint=_shape(r, wide, high, at),
            bolts=tuple(_bolts(r, wide, high, at)),
            openings={n: Opening(outline=_inner(r, wide, high, at)) for n in "ab"[: r.choice([0, 0, 1, 2])]},
        ),
        cover=Cover(
            stock=Stock(thickness=r.uniform(6, 16)),
            outer=_shape(r, wide + r.uniform(4, 30), high + r.uniform(4, 30), at),
            seats=r.choice(["none", Seat(screw="ISO 4762"), Seat(screw="ISO 7380-1"), Seat(screw="ISO 10642")]),
            edge_break=r.choice([0.0, 0.5, 0.8]),
            engravings={n: Engraving(outline=_inner(r, wide, high, at)) for n in "xy"[: r.choice([0, 0, 1, 2])]},
        ),
        inlays={
            n: _inlay(r, wide, high, at) for n in ["crest", "name", "year", "band", "q"][: r.choice([0, 1, 1, 2, 5])]
        },
        dowels=r.choice(["none", Dowels(diameter=4.0), Dowels(diameter=6.0, place="inside")]),
        tolerances=Tolerances(
            general=r.choice(["", "ISO 22081", f"ISO 2768-{r.choice(CLASSES)}K"]), size=r.choice([0.02, 0.1])
        ),
        order=Order(
            quantity=r.choice([1, 24, 5000]),
            number=r.choice(["", "P-0021", "P" * 60]),
            owner=" ".join(r.sample(WORDS, r.randint(0, 12))),
            drawn_by=r.choice(["", "Ångström, Jörg", "g" * 80]),
            date=r.choice(["", "2026-05-04"]),
        ),
        paper=Paper(
            drawing=r.choice(["auto", "auto", "auto", "A4", "A3", "A1"]),
            projection=r.choice([FIRST_ANGLE, THIRD_ANGLE]),
        ),
        notes=r.choice(["", "Deburr all edges.", " ".join(WORDS * 8)]),
    )


def _shape(r: random.Random, wide: float, high: float, at: tuple[float, float]) -> OutlineSpec:
    if r.random() < 0.2:
        return disc(min(wide, high) / 2.0, at)
    return box(wide, high, at, r.choice([0.0, 2.0, min(wide, high) * r.uniform(0.1, 0.45)]))


def _inner(r: random.Random, wide: float, high: float, at: tuple[float, float]) -> OutlineSpec:
    """Something small within a rectangle about ``at``."""
    x, y = at[0] + wide * r.uniform(-0.4, 0.4), at[1] + high * r.uniform(-0.4, 0.4)
    w, h = wide * r.uniform(0.04, 0.4), high * r.uniform(0.04, 0.4)
    return disc(min(w, h) / 2.0, (x, y)) if r.random() < 0.4 else box(w, h, (x, y), min(w, h) * r.choice([0, 0.2, 0.4]))


def _inlay(r: random.Random, wide: float, high: float, at: tuple[float, float]) -> Inlay:
    artwork = {
        n: Artwork(
            outline=disc(r.uniform(0.3, 2.0), (r.uniform(-3, 3), r.uniform(-1, 1))),
            done=r.choice(["cut through", "engraved"]),
            depth=0.2,
        )
        for n in "uv"[: r.choice([0, 1, 2])]
    }
    return Inlay(stock=InsertStock(thickness=r.uniform(0.5, 2)), outline=_inner(r, wide, high, at), artwork=artwork)


def _bolts(r: random.Random, wide: float, high: float, at: tuple[float, float]) -> Iterator[Bolts]:
    if r.random() < 0.15:
        return
    if r.random() < 0.4:
        across = min(wide, high) * r.uniform(0.5, 0.9)
        count = r.choice([3, 6, 12, 24])
        yield Bolts(thread=r.choice(["M3", "M5"]), circle=BoltCircle(diameter=across, count=count, centre=at))
        return
    for thread in ("M4", "M6")[: r.choice([1, 1, 2])]:
        places = [
            (at[0] + wide * r.uniform(-0.4, 0.4), at[1] + high * r.uniform(-0.4, 0.4)) for _ in range(r.randint(1, 4))
        ]
        yield Bolts(thread=thread, at=tuple(places))
