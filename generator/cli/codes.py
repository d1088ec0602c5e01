"""Exit codes: what a script may rely on."""

from typing import Final

FINE: Final = 0
"""Everything asked for was done; findings, if any, do not forbid."""
FORBIDDEN: Final = 1
"""A check found something that forbids building, or a measured part fails."""
WRONG: Final = 2
"""A recipe, a sheet of readings, or the command itself, is wrong; every mistake was listed."""
INTERNAL: Final = 3
"""The folder or disk refused, two outputs disagreed, or the program failed; earlier packs are as they were."""
INTERRUPTED: Final = 130
"""Stopped by Ctrl-C or a signal; every pack is whole, as it was or as it was to be."""
