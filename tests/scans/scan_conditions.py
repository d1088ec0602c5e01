"""What a scanner, its lid, the part's surface and the person do to a picture, all as numbers with plain defaults."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np


@dataclass(frozen=True)
class Conditions:
    """One scan. Grey levels are encoded ones, 0 to 255; lengths mm unless stated.

    Attributes:
        dpi: nominal resolution.
        ex, ey: relative errors of scale along the head and along the carriage's travel.
        skew: degrees by which the travel is off square.
        rot: degrees by which the part lies turned, counter-clockwise as seen in the picture.
        margin: round the part: one for all sides, or left, top, right, bottom.
        blur: standard deviation of the optics' spread, pixels (a pixel's own area comes on top).
        noise: standard deviation in grey levels, after encoding.
        gamma: exponent of the encoding, or "srgb" for that of IEC 61966-2-1.
        metal, lid: levels of the metal and of what lies behind it.
        hole: level seen through holes and cut-outs; None: the lid.
        shadow_w, shadow_depth: how far the shadow reaches on a lid behind a straight edge square to the light, and
            which share of the lid's light is lost right at the edge.
        shadow_form: "ramp" fades evenly, "soft" too with a rounded end, "exponential" has the same area as that ramp,
            "step" is a full one with a soft border at half of that reach, "core" a full one for a third, then a ramp.
        light_deg: direction in which shadows fall in the picture, u to the right, v down, atan2(dv, du).
        halo_w, halo_depth: darkening all round the metal, exponential, from light that the metal keeps off.
        bevel, bevel_gain: width of a broken edge and by which share it is brighter on the side to the light.
        brushed, brush_deg: contrast (standard deviation) of brush marks and their direction on the part.
        rust: share of the face that is rusty.
        scratches, dust, chips, burrs: how many.
        hurt_openings, hurt_size: so many more chips and burrs, in turn, on edges of openings; a factor on their depth.
        chips_dark: chips show as dark broken metal; else the lid is seen in their place.
        uneven: relative fall of the light over the picture.
        wobble, wobble_period, wobble_phase: sinusoidal error of the carriage.
        colour: three channels instead of one.
        fmt: "png", "jpg" or "tif"; quality for JPEG.
        meta_dpi: "true" writes the nominal resolution into the file, None nothing, a number that one.
        readings: how many the person takes; sigma, resolution: of the caliper.
        mistyped: "" or what went wrong with one reading: "swap", "inch", "digit".
    """

    dpi: float = 300.0
    ex: float = 0.0
    ey: float = 0.0
    skew: float = 0.0
    rot: float = 0.0
    margin: float | tuple[float, float, float, float] = 6.0
    blur: float = 0.8
    noise: float = 1.5
    gamma: float | str = "srgb"
    metal: float = 130.0
    lid: float = 238.0
    hole: float | None = None
    shadow_w: float = 0.0
    shadow_depth: float = 0.0
    shadow_form: str = "ramp"
    light_deg: float = 90.0
    halo_w: float = 0.4
    halo_depth: float = 0.0
    bevel: float = 0.0
    bevel_gain: float = 0.3
    brushed: float = 0.0
    brush_deg: float = 0.0
    rust: float = 0.0
    scratches: int = 0
    dust: int = 0
    chips: int = 0
    chips_dark: bool = True
    burrs: int = 0
    hurt_openings: int = 0
    hurt_size: float = 1.0
    uneven: float = 0.0
    wobble: float = 0.0
    wobble_period: float = 9.0
    wobble_phase: float = 0.0
    colour: bool = False
    fmt: str = "png"
    quality: int = 90
    meta_dpi: str | float | None = "true"
    readings: int = 5
    sigma: float = 0.015
    resolution: float = 0.01
    mistyped: str = ""

    def but(self, **changes: object) -> Conditions:
        return replace(self, **changes)  # type: ignore[arg-type]


def usual(dpi: float, seed: int, **changes: object) -> Conditions:
    """A scan as it comes: all imperfections at once, drawn within what scanners and workshops show."""
    rng = np.random.default_rng([seed, round(dpi)])

    def between(a: float, b: float) -> float:
        return float(rng.uniform(a, b))

    def one_of(*values: object) -> object:
        return values[int(rng.integers(len(values)))]

    fmt = str(one_of("png", "jpg", "png"))
    drawn = Conditions(
        dpi=dpi, ex=between(-0.005, 0.005), ey=between(-0.006, 0.006), skew=between(-0.15, 0.15),
        rot=between(-180, 180), blur=between(0.7, 1.1), noise=between(1.2, 2.5), gamma=one_of("srgb", "srgb", 2.2),
        metal=between(75, 165), lid=between(225, 245), shadow_w=between(0.25, 0.6), shadow_depth=between(0.25, 0.5),
        shadow_form=str(one_of("ramp", "soft", "exponential", "step", "core")),
        light_deg=float(one_of(90, 270, 85, 262, 97)),
        halo_depth=float(one_of(0.0, 0.0, 0.05)), bevel=float(one_of(0.0, 0.15, 0.25)), bevel_gain=between(0.1, 0.3),
        brushed=between(0.03, 0.1), brush_deg=between(0, 180), rust=float(one_of(0.0, 0.0, 0.12)),
        scratches=int(rng.integers(0, 4)), dust=int(rng.integers(5, 40)), uneven=between(0.0, 0.03),
        wobble=float(one_of(0.0, 0.0, 0.004)), wobble_period=between(6, 14), wobble_phase=between(0, 6.28),
        colour=bool(one_of(True, False, False)), fmt=fmt, quality=int(rng.integers(84, 96)),
        meta_dpi=one_of("true", "true", "true", None, 72.0), readings=int(rng.integers(4, 7)),
    )  # fmt: skip
    return drawn.but(**changes)


def lost_in_shadow(dpi: float, seed: int, **changes: object) -> Conditions:
    """The metal as grey as the shadow beside it, so that its edge cannot be seen there."""
    return usual(dpi, seed, metal=196.0, shadow_w=0.5, shadow_depth=0.42, shadow_form="ramp", rust=0.0, **changes)


def black_lid(dpi: float, seed: int, **changes: object) -> Conditions:
    """Light metal before a black lid: no shadow to speak of, but a bevel that is dark on one side."""
    return usual(dpi, seed, metal=165.0, lid=24.0, shadow_depth=0.0, halo_depth=0.0, bevel=0.2, **changes)


def damaged(dpi: float, seed: int, **changes: object) -> Conditions:
    """With chips and a burr."""
    return usual(dpi, seed, chips=3, burrs=1, **changes)
