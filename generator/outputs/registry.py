"""Registered outputs, each loaded when it is first used: a build that finds its pack as it was needs none of them."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from generator.base.frozen_record import frozen_record

if TYPE_CHECKING:
    from generator.outputs.output import Output

__all__ = ["Registered", "registered"]


@frozen_record
class Registered:
    """An output by name; everything else about it is asked of its file.

    Attributes:
        name: as on the command line, such as ``layers-dxf``.
        module: the file's module, which holds ``OUTPUT``.
    """

    name: str
    module: str

    @property
    def output(self) -> Output:
        """Return the output itself."""
        output: Output = import_module(self.module).OUTPUT
        return output


def registered(files: str) -> tuple[Registered, ...]:
    """Return the outputs in ``files`` (with blanks between), each named as its file with hyphens."""
    return tuple(Registered(file.replace("_", "-"), f"generator.outputs.{file}") for file in files.split())
