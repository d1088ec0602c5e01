"""The entities of a DXF file, straight from its lines: pairs of a group code and a value (DXF reference, ASCII form).

For proofs that ask where every line of a drawing lies: nothing of the writer's library takes part.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.base.frozen_record import frozen_record

__all__ = ["DxfError", "Entity", "entities"]


class DxfError(Exception):
    """The file is no DXF of one piece."""


@frozen_record
class Entity:
    """One entity.

    Attributes:
        kind: such as ``LINE``.
        tags: its group codes with their values, in the order of the file.
    """

    kind: str
    tags: tuple[tuple[int, str], ...]

    def text(self, code: int, otherwise: str = "") -> str:
        """Return the first value of a code."""
        return next((value for c, value in self.tags if c == code), otherwise)

    def number(self, code: int, otherwise: float = 0.0) -> float:
        """Return the first value of a code as a number.

        Raises: DxfError: it is none.
        """
        try:
            return float(self.text(code, str(otherwise)))
        except ValueError as error:
            raise DxfError(f"{self.kind}: {error}") from error

    def vertices(self) -> list[tuple[float, float, float]]:
        """Return the vertices of a polyline: x, y, bulge.

        Raises: DxfError: one of them is no number.
        """
        out: list[list[float]] = []
        try:
            for code, value in self.tags:
                if code == 10:
                    out.append([float(value), 0.0, 0.0])
                elif code in (20, 42) and out:
                    out[-1][1 if code == 20 else 2] = float(value)
        except ValueError as error:
            raise DxfError(f"{self.kind}: {error}") from error
        return [(x, y, bulge) for x, y, bulge in out]


def entities(data: bytes) -> tuple[Entity, ...]:
    """Return what stands in the section of entities.

    Raises: DxfError: not pairs of code and value with sections that open and close and an end.
    """
    tags = _tags(data)
    starts = [k for k, (code, _) in enumerate(tags) if code == 0]
    out: list[Entity] = []
    section = ""
    for start, end in zip(starts, [*starts[1:], len(tags)][: len(starts)], strict=True):
        kind = tags[start][1]
        if kind == "SECTION":
            if section or end - start < 2:
                raise DxfError("a section in a section")
            section = tags[start + 1][1]
        elif kind == "ENDSEC":
            if not section:
                raise DxfError("a section that did not begin ends")
            section = ""
        elif section == "ENTITIES":
            out.append(Entity(kind, tuple(tags[start + 1 : end])))
    if section or not tags or tags[-1] != (0, "EOF"):
        raise DxfError("the file does not end as it should")
    return tuple(out)


def _tags(data: bytes) -> Sequence[tuple[int, str]]:
    try:
        return list(_pairs(data.decode("utf-8").splitlines()))
    except ValueError as error:
        raise DxfError(f"not lines of code and value: {error}") from error


def _pairs(lines: Sequence[str]) -> Iterator[tuple[int, str]]:
    for code, value in zip(lines[::2], lines[1::2], strict=True):
        yield int(code), value
