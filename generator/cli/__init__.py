"""The command ``coverplate``: arguments, exit codes, and the only place that prints."""

from generator.cli.main import command, main

__all__ = ["command", "main"]
