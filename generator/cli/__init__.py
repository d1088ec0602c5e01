"""The command ``coverplate``: arguments, exit codes, and the only place that prints."""

from generator.cli.main import main

__all__ = ["main"]
