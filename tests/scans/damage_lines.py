"""What the table says of chips and burrs: how many of which depth were listed, how often in vain, the outline there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tests.scans.damage_score import DamageScore, Judged

DEPTHS = (0.5, 1.0, 2.0, 3.0, 4.0, 6.0, float("inf"))
"""Classes of depth, pixels."""


@dataclass(frozen=True)
class Seen:
    """The damage of one case and the size of a pixel, mm."""

    kind: str
    pixel: float
    score: DamageScore


def pixel_of(truth: dict) -> float:
    """Size of a pixel on the part, mm: of a photo straight below the camera."""
    image = truth["image"]
    if image["kind"] == "scan":
        return 25.4 / image["dpi_nominal"]
    return float(image["camera"]["centre_mm"][2]) / float(image["camera"]["f_px"])


def cell(score: DamageScore, most: float) -> str:
    """What a case's line says."""
    once = sum(j.once for j in score.judged)
    off = max((j.outline for j in score.judged), default=0.0)
    false = f", {len(score.false)} false" if score.false else ""
    return f"damage {once}/{len(score.judged)} listed once{false}, outline {1e3 * off:.0f}{'!' if off > most else ''}"


def damage_table(seen: Sequence[Seen], most: float) -> list[str]:
    """For every kind what was listed, by depth in pixels: listed once of all."""
    out = [
        f"{'chips, burrs: listed once, of all':34s}{'chips':>9s}{'burrs':>9s}{'twice':>7s}{'false':>7s}{'outline':>9s}"
    ]
    for kind in dict.fromkeys(s.kind for s in seen):
        own = [s for s in seen if s.kind == kind]
        judged = [j for s in own for j in s.score.judged]
        off = max((j.outline for j in judged), default=0.0)
        twice = sum(j.listed > len(j.hurts) for j in judged)
        false = sum(len(s.score.false) for s in own)
        cells = [_share([j for j in judged if (j.deepest.off > 0.0) == burr]) for burr in (False, True)]
        out.append(
            f"{kind:34s}{cells[0]:>9s}{cells[1]:>9s}{twice:7d}{false:7d}{1e3 * off:8.0f}{'!' if off > most else ' '}"
        )
    heads = [f"to {d:g} px" if d < 1e3 else "deeper" for d in DEPTHS]
    for burr, name in ((False, "chips"), (True, "burrs")):
        out += ["", f"{name + ' by depth':34s}" + "".join(f"{h:>10s}" for h in heads)]
        for kind in dict.fromkeys(s.kind for s in seen):
            classes = [
                [
                    j
                    for s in seen
                    for j in s.score.judged
                    if s.kind == kind and (j.deepest.off > 0.0) == burr and low <= abs(j.deepest.off) / s.pixel < high
                ]
                for low, high in zip((0.0, *DEPTHS), DEPTHS, strict=False)
            ]
            out.append(f"{kind:34s}" + "".join(f"{_share(c):>10s}" for c in classes))
    return out


def _share(judged: list[Judged]) -> str:
    return f"{sum(j.once for j in judged)}/{len(judged)}" if judged else "-"
