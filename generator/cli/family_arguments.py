"""What the command line takes for a family."""

from __future__ import annotations

import argparse

__all__ = ["FAMILY_EXAMPLES", "STORE_EXAMPLES", "add_family_options", "add_store_options"]

FAMILY_EXAMPLES = (
    "  coverplate family plots.yaml\n"
    "  coverplate family plots.yaml --dry-run                what would be made, and why\n"
    "  coverplate family plots.yaml --only 'plot-1*' --only metal=brass\n"
    "  coverplate family plots.yaml --jobs 4 --outputs step,layers-dxf\n"
)

STORE_EXAMPLES = (
    "  coverplate store --size\n"
    "  coverplate store --clean                              take everything away; it is made again when it is needed\n"
    "  coverplate store --clean --keep 500                   down to 500 MB, what was not used for longest goes first\n"
)


def add_store_options(p: argparse.ArgumentParser) -> None:
    """Add which store, and what is to be done with it."""
    p.add_argument(
        "--store", default="out/.coverplate-store", metavar="FOLDER", help="the store (default: out/.coverplate-store)"
    )
    what = p.add_mutually_exclusive_group()
    what.add_argument("--size", action="store_true", help="tell how large it is (this is the default)")
    what.add_argument("--clean", action="store_true", help="take entries away")
    p.add_argument("--keep", type=_megabytes, default=None, metavar="MB", help="with --clean: leave so much (0)")


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
    p.add_argument(
        "--scheduler",
        default="",
        metavar="ADDRESS",
        help="let a running Dask cluster do the work, such as tcp://bench:8786 (needs coverplate[cluster])",
    )
    going = p.add_mutually_exclusive_group()
    going.add_argument(
        "--keep-going", action="store_true", default=True, help="make the others when one fails (this is the default)"
    )
    going.add_argument("--stop-at-failure", action="store_false", dest="keep_going", help="stop when one fails")
    p.add_argument(
        "--outputs", default="", metavar="A,B", help="outputs of every pack (default: what the family says, else all)"
    )
    p.add_argument(
        "--store",
        metavar="FOLDER",
        help="where what variants share is kept (default: .coverplate-store in --out); '' for nowhere",
    )
    p.add_argument(
        "--limit",
        type=_seconds,
        default=300.0,
        metavar="SECONDS",
        help="time for one variant, and for a worker to start, which has 60 at least (default: 300)",
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


def _megabytes(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0.0 <= value <= 1e9:
        raise argparse.ArgumentTypeError(f"`{text[:40]}` is no number of megabytes")
    return value
