"""Lets ``python -m generator.cli`` run the command."""

from generator.cli.main import command

command()
