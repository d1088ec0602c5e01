"""Every check begins to speak where its limit lies: within one hundredth of it on either side."""

from __future__ import annotations

import edges_artwork
import edges_bolts
import edges_cover
import edges_cutting
import edges_dowels
import edges_fit
import edges_flip
import edges_inlays
import edges_metals
import edges_pocket
import edges_seats
import edges_shop
import pytest
from harness import Edge, found
from test_checks import CASES

from generator.checks import CHECKS

OWN = (edges_artwork, edges_dowels, edges_seats)
"""Edges of checks whose spoiled recipes stand in ``test_checks.py``."""
THEMES = (edges_bolts, edges_cover, edges_cutting, edges_flip, edges_shop, edges_fit, edges_inlays, edges_metals,
          edges_pocket, *OWN)  # fmt: skip
EDGES: tuple[Edge, ...] = tuple(e for theme in THEMES for e in theme.EDGES)
SHARE = 0.01


@pytest.mark.parametrize("edge", EDGES, ids=[f"{e.check}-{e.code}" for e in EDGES])
def test_speaks_from_its_limit_on(edge: Edge) -> None:
    assert edge.code not in {f.code for f in found(edge.make(edge.just), edge.check)}
    told = [f for f in found(edge.make(edge.beyond), edge.check) if f.code == edge.code]
    assert told
    if not edge.by_figure:
        assert edge.just == pytest.approx(edge.beyond, rel=SHARE)
    for finding in told[:1] if edge.by_figure else []:
        assert finding.figure is not None
        assert finding.limit is not None
        allowed = SHARE * abs(finding.limit) if finding.limit else edge.near
        assert finding.figure == pytest.approx(finding.limit, abs=allowed * (1.0 + 1e-9))


def test_edges_are_of_checks_that_there_are() -> None:
    assert {e.check for e in EDGES} <= {c.id for c in CHECKS}


WITHOUT = {
    ("clearance-above", "on-original"): "the clearance is 0, or it is not",
    ("holding", "too-few"): "counts",
    ("finer-than-cutter", "corners-rounded"): "is told below the limit, which says from where on it would be seen",
}
"""Codes told with a figure that have no edge, and why."""


def test_every_code_that_holds_a_figure_against_a_limit_has_an_edge() -> None:
    known = {(e.check, e.code) for e in EDGES} | set(WITHOUT)
    for check, code, _, recipe in CASES:
        if (check, code) not in known:
            held = [f for f in found(recipe, check) if f.code == code and None not in (f.figure, f.limit)]
            assert not held, (check, code, held[0].figure, held[0].limit)


NO_EDGE = {
    "load-bearing": "what a person says of the original",
    "bolts-alike": "compares names of classes and lengths",
    "thread-seizing": "names of classes and of the state of threads",
    "burr-side": "names of metals",
    "dowel-seen": "where the recipe puts the dowels",
    "wrong-flip": "whether there are dowels, and whether a region is its own image",
    "material-known": "what is known of a material",
    "title-block": "whether there is a text",
    "sheet-letters": "which characters a text has",
}
"""Checks that hold nothing against a figure, and what they go by instead."""


def test_every_check_has_an_edge() -> None:
    with_edges = {e.check for e in EDGES}
    assert not with_edges & set(NO_EDGE)
    assert with_edges | set(NO_EDGE) == {c.id for c in CHECKS}
