"""The recipe's conditions: where the cover will live, and how cold and hot it gets there."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record

INDOOR, OUTDOOR, MARINE = "indoor", "outdoor", "marine"


@frozen_record(kw_only=True)
class Conditions:
    """Where the cover will live."""

    environment: str = f.word(
        "Where the cover will live: `indoor` without climate control, `outdoor` in rain, `marine` in salt air or "
        "spray. Decides which metals may touch, and how cold and hot it gets.",
        (INDOOR, OUTDOOR, MARINE),
        default=INDOOR,
        example=OUTDOOR,
    )
    coldest: float | None = f.number(
        "Coldest that the cover gets, °C; without it 5 indoors, else -20 (our own choice).",
        default=None,
        at_least=-100,
        at_most=20,
        example=-25,
    )
    hottest: float | None = f.number(
        "Hottest that the cover gets, °C; without it 40 indoors, else 70 as dark metal in the sun (our own choice).",
        default=None,
        at_least=20,
        at_most=300,
        example=60,
    )
