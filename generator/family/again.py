"""The command that makes one variant alone, for a person to see what is wrong with it."""

from __future__ import annotations

import shlex

from generator.family.task import Task

__all__ = ["said_again"]


def said_again(task: Task) -> str:
    """Return the command line that builds one variant."""
    words = ["coverplate", "build", task.recipe, *(w for s in task.sets for w in ("--set", s))]
    return shlex.join(words)
