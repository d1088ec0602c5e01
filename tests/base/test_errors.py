"""Errors of the plane keep what they carry when somebody learns where in the recipe they belong."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages

import pytest

import generator
from generator.artwork.svg_numbers import WrongError
from generator.artwork.svg_xml import SvgError
from generator.base.errors import ContourError, GeometryError, OffsetError
from generator.outline.contour import Point
from generator.shapes.emblems.remedy import UnfitError
from generator.shapes.joined import _Pulley, _TooSmallError
from generator.shapes.shape import NoRoomError

MAKERS: dict[type[GeometryError], Callable[[], GeometryError]] = {
    GeometryError: lambda: GeometryError("told", contour="1", segment=2, point_mm=(3.0, 4.0), path="a.b"),
    ContourError: lambda: ContourError("told", contour="1", segment=2, point_mm=(3.0, 4.0)),
    OffsetError: lambda: OffsetError("told", point_mm=(3.0, 4.0)),
    NoRoomError: lambda: NoRoomError("told"),
    WrongError: lambda: WrongError("told"),
    SvgError: lambda: SvgError(7, "told"),
    UnfitError: lambda: UnfitError("size", 3.0, "told"),
    _TooSmallError: lambda: _TooSmallError("told", _Pulley(2, Point(3.0, 4.0), 5.0), 6.0),
}
"""How each is made; their constructors want different things."""


def _below(kind: type[GeometryError]) -> Iterator[type[GeometryError]]:
    yield kind
    for further in kind.__subclasses__():
        yield from _below(further)


def test_every_kind_is_tried():
    """An error that is declared anywhere in the package has its line in the table above."""
    for module in walk_packages(generator.__path__, "generator."):
        if "solid" not in module.name and not module.name.endswith("__main__"):
            import_module(module.name)
    ours = {k for k in _below(GeometryError) if k.__module__.startswith("generator.")}
    assert ours == set(MAKERS)


@pytest.mark.parametrize("kind", MAKERS, ids=lambda k: k.__name__)
def test_another_place_changes_nothing_else(kind):
    """Type, text and everything that it carries stay; the error itself is not touched."""
    error = MAKERS[kind]()
    before = dict(vars(error))
    moved = error.placed("cover.outer")
    assert type(moved) is kind
    assert moved is not error
    assert vars(error) == before
    assert str(moved) == str(error)
    assert vars(moved) == {**before, "path": "cover.outer"}


def test_no_error_is_made_anew_from_its_type():
    """``type(error)(…)`` fails for whoever's constructor wants something else."""
    root = Path(generator.__file__).parent
    assert not [p.name for p in root.rglob("*.py") if "type(error)(" in p.read_text("utf-8")]
