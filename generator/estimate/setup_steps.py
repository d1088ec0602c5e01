"""The work of one setup, step by step in its order: layer, operation of the plan, from what depth to what."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_lowercase

from generator.base.frozen_record import frozen_record
from generator.estimate.making import Step
from generator.estimate.operations import ROUND
from generator.part.layers import layer_names
from generator.part.part import Layer, Part
from generator.part.setups import Setup

__all__ = ["LayerWork", "SetupStep", "work_of"]


@frozen_record
class SetupStep:
    """One tool doing one thing in a setup.

    Attributes:
        mark: number of the layer, with a letter where it takes several steps: ``3a``.
        step: operation with its starting speed, feed and time.
        from_mm, to_mm: depths below the face that is up; dowel holes go on into what lies under the blank, the cut
            round the outline ends over a skin that holds the part.
    """

    mark: str
    step: Step
    from_mm: float
    to_mm: float


@frozen_record
class LayerWork:
    """A layer of a setup with its number, from 1 in working order, and its steps; none where nothing is known."""

    number: int
    layer: Layer
    steps: tuple[SetupStep, ...]


def work_of(setup: Setup, part: Part, layers: Sequence[Layer], steps: Sequence[Step]) -> tuple[LayerWork, ...]:
    """Return the layers of a setup in working order with the steps that cut them.

    Args:
        setup: names part, face and layers.
        part: that the setup makes.
        layers: of the plan.
        steps: of the plan.
    """
    names = layer_names(part)
    own: dict[str, list[Step]] = {}
    for step in steps:
        if step.operation.part == part.name:
            for name in dict.fromkeys(_layers_of(step, names)):
                own.setdefault(name, []).append(step)
    chosen = [la for name in setup.layers for la in layers if la.name == name and _is_of(la, setup)]
    shown = [la for la in chosen if la.region]
    return tuple(
        LayerWork(number, layer, tuple(_steps(number, layer, own.get(layer.name, ()))))
        for number, layer in enumerate(shown, start=1)
    )


def _layers_of(step: Step, names: dict[str, str]) -> tuple[str, ...]:
    """Return the layers that a step cuts: that of its features, else the one that it is named by."""
    op = step.operation
    return tuple(names[f] for f in op.features) or (op.what,)


def _is_of(layer: Layer, setup: Setup) -> bool:
    return layer.face is setup.face and layer.part in (setup.part, "blank" if setup.part == "cover" else setup.part)


def _steps(number: int, layer: Layer, steps: Sequence[Step]) -> list[SetupStep]:
    out = []
    for k, step in enumerate(steps):
        mark = str(number) if len(steps) == 1 else f"{number}{_letter(k)}"
        own = layer.top_mm + step.operation.depth_mm
        freed = step.operation.what == layer.name and step.operation.done == ROUND
        deep = own if freed else max(layer.bottom_mm, own if layer.part == "blank" else 0.0)
        out.append(SetupStep(mark, step, layer.top_mm, deep))
    return out


def _letter(k: int) -> str:
    """Return a, b … z, then aa, ab …"""
    n = len(ascii_lowercase)
    return (_letter(k // n - 1) if k >= n else "") + ascii_lowercase[k % n]
