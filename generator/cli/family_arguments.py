"""What the command line takes for a family."""

from __future__ import annotations

import argparse

__all__ = ["FAMILY_EXAMPLES", "add_family_options"]

FAMILY_EXAMPLES = (
    "  coverplate family plots.yaml\n"
    "  coverplate family plots.yaml --dry-run                what would be made, and why\n"
    "  coverplate family plots.yaml --only 'plot-1*' --only metal=brass\n"
    "  coverplate family plots.yaml --jobs 4 --outputs step,layers-dxf\n"
)


def add_family_options(p: argparse.ArgumentParser) -> None:
    """Add the family, what of it, by whom, and where it goes."""
    p.add_argument("family", metavar="FAMILY", help="a file that names a recipe and what varies")
    p.add_argument("--out", default="out", metavar="FOLDER", help="folder of the families (default: out)")
    p.add_argument(
        "--only",
        action="append",
        default=[],
        metavar="WHICH",
        help="make these variants only: a name, with * and ?, or a value such as plot=7; may be given again",
    )
    p.add_argument("--dry-run", action="store_true", help="tell what would be made and why; write nothing")
    p.add_argument("--jobs", type=_jobs, default=0, metavar="N", help="how many at once (default: one a core)")
    going = p.add_mutually_exclusive_group()
    going.add_argument(
        "--keep-going", action="store_true", default=True, help="make the others when one fails (this is the default)"
    )
    going.add_argument("--stop-at-failure", action="store_false", dest="keep_going", help="stop when one fails")
    p.add_argument(
        "--outputs", default="", metavar="A,B", help="outputs of every pack (default: what the family says, else all)"
    )
    p.add_argument(
        "--limit", type=_seconds, default=300.0, metavar="SECONDS", help="time for one variant (default: 300)"
    )


def _jobs(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 512:
        raise argparse.ArgumentTypeError(f"`{text[:40]}` is no number of workers from 1 to 512")
    return int(text)


def _seconds(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 1.0 <= value <= 86_400.0:
        raise argparse.ArgumentTypeError(f"`{text[:40]}` is no time from 1 to 86400 seconds")
    return value
