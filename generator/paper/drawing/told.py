"""Which characteristics a drawing has told already: each has its balloon at one place and no second one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from generator.estimate.characteristics import Characteristic, Kind
from generator.paper.drawing.said import Said

__all__ = ["Told"]


@dataclass
class Told:
    """Hands out the characteristics of one drawing."""

    said: Said
    numbers: set[int] = field(default_factory=set)

    def find(self, features: Iterable[str], *kinds: Kind) -> Characteristic | None:
        """Return the first characteristic of one of these features and kinds; None if there is none."""
        names = set(features)
        return next((c for c in self.said.listed if c.kind in kinds and names.intersection(c.features)), None)

    def label(
        self, features: Iterable[str], *kinds: Kind, otherwise: float | None = None, sign: str = ""
    ) -> tuple[str, tuple[int, ...]]:
        """Return figure, limits and balloon of a characteristic, and note that it is told.

        Args:
            features: names of which one carries it.
            kinds: the kinds that will do.
            otherwise: length (mm) that is told bare where there is no such characteristic.
            sign: put before the figure, such as that of a diameter.
        """
        c = self.find(features, *kinds)
        if c is None:
            return ("", ()) if otherwise is None else (sign + self.said.figure(otherwise), ())
        text = sign + self.said.with_limits(c)
        if c.number in self.numbers:
            return text, ()
        self.numbers.add(c.number)
        return text, (c.number,)

    @property
    def left(self) -> tuple[Characteristic, ...]:
        """Return what has not been told yet."""
        return tuple(c for c in self.said.listed if c.number not in self.numbers)
