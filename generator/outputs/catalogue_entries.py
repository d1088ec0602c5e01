"""What the catalogue of outer shapes shows: for each kind the recipe lines round either original."""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record

__all__ = ["DRAWING", "ENTRIES", "ORIGINALS", "Entry"]

ORIGINALS: Final = ("catalogue-oval.yaml", "catalogue-plate.yaml")
"""The recipes without their outer shape: its lines follow at the end."""


DRAWING: Final = "catalogue-outline.svg"
"""The file that the lines of one entry name; it is written beside the catalogue, so that they draw what is shown."""


@frozen_record
class Entry:
    """One kind: its name in the recipe, a heading, the lines of ``cover.outer`` round the first and second original.

    A second of "" means the same lines.
    """

    kind: str
    heading: str
    first: str
    second: str = ""

    @property
    def lines(self) -> tuple[str, str]:
        """Return the recipe lines round the first and the second original."""
        return self.first, self.second or self.first


ENTRIES: Final = (
    Entry("even_margin", "Even margin", "even_margin: {margin: 5}", "even_margin:\n  margin: 5\n  hull: true"),
    Entry(
        "hollow_hull",
        "Hollow hull",
        "hollow_hull: {margin: 5}",
        "hollow_hull:\n  margin: 5\n  count: 4\n  hollow_radius: 110\n  corner_radius: 9",
    ),
    Entry(
        "scalloped",
        "Scalloped rim",
        "scalloped: {margin: 4}",
        "scalloped:\n  margin: 4\n  scallops: inward\n  count: 22\n  edge_radius: 1.5",
    ),
    Entry(
        "rounded_polygon",
        "Rounded polygon",
        "rounded_polygon:\n  margin: 5\n  count: 6",
        "rounded_polygon:\n  margin: 5\n  count: 8\n  sides: regular\n  corner_radius: 8",
    ),
    Entry("stadium", "Stadium", "stadium: {margin: 5}", "stadium: {margin: 5, width: 66}"),
    Entry(
        "notched",
        "Notched corners",
        "notched:\n  margin: 5\n  notch_radius: 9",
        "notched:\n  margin: 5\n  notch_radius: 7\n  corner_radius: 2",
    ),
    Entry(
        "arched",
        "Arched top",
        "arched: {margin: 5}",
        "arched:\n  margin: 5\n  rise: 20\n  shoulder_radius: 12",
    ),
    Entry(
        "shield",
        "Shield",
        "shield: {margin: 5}",
        "shield:\n  margin: 5\n  fullness: 0.75\n  corner_radius: 8",
    ),
    Entry(
        "pointed",
        "Pointed",
        "pointed:\n  margin: 5\n  direction: 90\n  reach: 52",
        "pointed:\n  margin: 5\n  direction: -90\n  reach: 64\n  tip_radius: 4\n  sides: {hollow: 60}",
    ),
    Entry(
        "drop",
        "Drop and leaf",
        "drop:\n  margin: 5\n  direction: 90",
        "drop:\n  margin: 5\n  direction: 0\n  back: pointed",
    ),
    Entry(
        "superellipse",
        "Superellipse",
        "superellipse: {margin: 5}",
        "superellipse:\n  margin: 5\n  exponent: 4",
    ),
    Entry("rosette", "Rosette", "rosette: {margin: 5, count: 8}", "rosette:\n  margin: 5\n  count: 6\n  depth: 9"),
    Entry(
        "rounded_star",
        "Rounded star",
        "rounded_star:\n  margin: 5\n  count: 6",
        "rounded_star:\n  margin: 5\n  count: 8\n  depth: 12\n  tip_radius: 5",
    ),
    Entry(
        "rectangle",
        "Rectangle",
        "rectangle:\n  size: [78, 48]\n  radius: 14",
        "rectangle:\n  size: [78, 60]\n  chamfer: 10\nround_corners: 4",
    ),
    Entry(
        "path",
        "Free path",
        "path:\n  start: [0, -24]\n  steps:\n    - {x: 32, round: 8}\n    - {to: [45, 0], round: 14}\n"
        "    - {to: [24, 31], round: 8}\n    - {to: [0, 24]}\nmirror: y\nround_corners: 12",
        "path:\n  start: [-38, -30]\n  steps:\n    - {x: 38, round: 6}\n    - {y: 28, round: 6}\n"
        "    - {x: 16}\n    - to: [-16, 28]\n      radius: 30\n      side: left\n    - {x: -38, round: 6}\n  round: 6\n"
        "round_corners: 4",
    ),
    Entry(
        "outline_file",
        "From a drawing",
        "outline_file:\n  file: catalogue-outline.svg\n  origin: middle\n  width: 82",
        "outline_file:\n  file: catalogue-outline.svg\n  origin: middle\n  width: 88",
    ),
)
