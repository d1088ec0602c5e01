"""Chips and burrs of simulated parts: where they are, how deep they go, what they do to an edge.

A chip is a ragged disc round a place of the edge, of which the metal loses what lies within it; a burr lets the edge
swell by a bell. Dust lies on the glass and is none of the part's.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np

from tests.scans.scan_shape import Part, Segment

Chip = tuple[float, float, float]
"""x, y, radius, mm."""
Burr = tuple[float, float, float, float]
"""x, y, height, standard deviation, mm."""


class Spoiling(Protocol):
    """How much is spoilt: numbers on the outline and on edges of openings, a factor on sizes."""

    chips: int
    burrs: int
    hurt_openings: int
    hurt_size: float


@dataclass(frozen=True)
class Damage:
    chips: list[Chip]
    burrs: list[Burr]
    dust: list[tuple[float, float, float]]

    def told(self) -> dict[str, list[list[float]]]:
        """Chips and burrs as the corpus's truth has them."""
        return {
            "burrs_xy_height_sigma_mm": [list(b) for b in self.burrs],
            "chips_xy_radius_mm": [list(r) for r in self.chips],
        }


def damage_of(part: Part, c: Any, width: int, height: int, rng: np.random.Generator) -> Damage:
    """Damage of a scan of so many pixels."""
    chips, burrs = on_outline(part, c, rng)
    size = c.dpi / 300.0
    dust = [
        (float(rng.uniform(0, width)), float(rng.uniform(0, height)), float(rng.uniform(0.5, 2.2)) * size)
        for _ in range(c.dust)
    ]
    more = in_openings(part, c, rng)
    return Damage(chips + more[0], burrs + more[1], dust)


def on_outline(part: Part, c: Spoiling, rng: np.random.Generator) -> tuple[list[Chip], list[Burr]]:
    edges = part.edges()[: len(part.outer)]
    chips = [_chip(edges, c, rng) for _ in range(c.chips)]
    return chips, [_burr(edges, c, rng) for _ in range(c.burrs)]


def in_openings(part: Part, c: Spoiling, rng: np.random.Generator) -> tuple[list[Chip], list[Burr]]:
    """Chips and burrs in turn, so many in all."""
    edges = part.edges()[len(part.outer) :]
    if not edges:
        return [], []
    chips = [_chip(edges, c, rng) for _ in range((c.hurt_openings + 1) // 2)]
    return chips, [_burr(edges, c, rng) for _ in range(c.hurt_openings // 2)]


def _spot(edges: list[Segment], rng: np.random.Generator) -> tuple[float, float]:
    lengths = np.array([s.length for s in edges])
    s = edges[int(rng.choice(len(edges), p=lengths / lengths.sum()))]
    x, y = s.points(np.array([rng.uniform(0.15, 0.85)]))[0]
    return float(x), float(y)


def _chip(edges: list[Segment], c: Spoiling, rng: np.random.Generator) -> Chip:
    return (*_spot(edges, rng), c.hurt_size * float(rng.uniform(0.4, 1.0)))


def _burr(edges: list[Segment], c: Spoiling, rng: np.random.Generator) -> Burr:
    return (*_spot(edges, rng), c.hurt_size * float(rng.uniform(0.1, 0.3)), float(rng.uniform(0.3, 0.7)))


def swollen(off: np.ndarray, x: np.ndarray, y: np.ndarray, burrs: list[Burr]) -> np.ndarray:
    """Distances off the metal with burrs on it."""
    for bx, by, height, sigma in burrs:
        off = off - height * np.exp(-0.5 * ((x - bx) ** 2 + (y - by) ** 2) / sigma**2)
    return off


def into_chips(x: np.ndarray, y: np.ndarray, chips: list[Chip]) -> np.ndarray:
    """How far places lie within chips, positive inside one; minus infinity where there is none."""
    chip = np.full(x.shape, -np.inf)
    for cx, cy, radius in chips:
        angle = np.arctan2(y - cy, x - cx)
        ragged = radius * (0.75 + 0.15 * np.sin(3 * angle + cx) + 0.1 * np.sin(7 * angle + 5 * cy))
        chip = np.maximum(chip, ragged - np.hypot(x - cx, y - cy))
    return chip
