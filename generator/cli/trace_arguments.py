"""What the command line takes for tracing a footprint and for caliper sheets."""

from __future__ import annotations

import argparse

__all__ = ["READINGS_EXAMPLES", "TRACE_EXAMPLES", "add_readings_options", "add_trace_options"]

TRACE_EXAMPLES = (
    "  coverplate trace scan-1.png scan-2.png --readings caliper.yaml --name latch\n"
    "  coverplate trace bracket.png --dpi 600 --out traced\n"
    "  coverplate trace photo.jpg --reference a4 --thickness 6.02 --readings caliper.yaml\n"
    "  coverplate trace scan.png --name latch --forbid 'equal radius 3 5' --demand 'tangent 2 3'\n"
)

READINGS_EXAMPLES = (
    "  coverplate readings latch.footprint.yaml\n"
    "  coverplate readings recipes/gate-latch.yaml --out bench --paper Letter\n"
)


def add_readings_options(p: argparse.ArgumentParser) -> None:
    """Add what a sheet is made for, and where it goes."""
    p.add_argument(
        "footprint",
        metavar="FOOTPRINT",
        help="NAME.footprint.yaml of a trace, a recipe that is based on it, or any recipe",
    )
    p.add_argument("--out", default=".", metavar="FOLDER", help="folder of the files (default: the present one)")


def add_trace_options(p: argparse.ArgumentParser) -> None:
    """Add pictures, readings and what is known of them."""
    p.add_argument(
        "images", nargs="+", metavar="IMAGE", help="scans of one part, turned by a quarter between them; or one photo"
    )
    p.add_argument("--readings", default="", metavar="FILE", help="caliper readings, a YAML file")
    p.add_argument(
        "--reference",
        choices=("scan", "card", "a4", "none"),
        default="scan",
        help="what tells the scale: the scanner; a bank card or a sheet of A4 beside the part in a photo; nothing but "
        "the readings (default: scan)",
    )
    p.add_argument("--dpi", type=float, metavar="N", help="resolution of the scans, where the file tells it wrongly")
    p.add_argument(
        "--thickness", type=float, metavar="MM", help="of the part in a photo, mm; instead of a reading of it"
    )
    p.add_argument(
        "--part", type=int, metavar="N", help="which part of the picture, 1 for the largest (default: that one)"
    )
    p.add_argument(
        "--demand",
        action="append",
        default=[],
        metavar="RELATION",
        help="a relation that must hold, such as 'tangent 3 4'; may be given again",
    )
    p.add_argument(
        "--forbid",
        action="append",
        default=[],
        metavar="RELATION",
        help="a relation that must not be imposed, such as 'equal radius 3 5', or a kind alone; may be given again",
    )
    p.add_argument("--name", default="", metavar="NAME", help="what the files are called (default: as the picture)")
    p.add_argument("--out", default=".", metavar="FOLDER", help="folder of the files (default: the present one)")
