"""What the command line takes that concerns a printer."""

from __future__ import annotations

import argparse

from generator.base.paper_sizes import FORMAT_WORDS

__all__ = ["add_bars", "add_paper"]


def add_bars(parser: argparse.ArgumentParser) -> None:
    """Add what says how a printer prints."""
    parser.add_argument(
        "--printed-bar",
        metavar="x=MM,y=MM",
        help="what the bars of an earlier 1:1 print measure, such as x=99.6,y=100.2; the next one is compensated",
    )
    parser.add_argument("--printer", metavar="FILE", help="settings file of a printer: paper, printed_bars")


def add_paper(parser: argparse.ArgumentParser) -> None:
    """Add which sheet is in the printer."""
    parser.add_argument("--paper", choices=FORMAT_WORDS, help="sheet in the printer (default: A4)")
