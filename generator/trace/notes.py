"""Sentences for the person that gather while a part is traced."""

from __future__ import annotations


class Notes:
    """Remarks, and among them warnings: those that a person should act upon before the footprint is used."""

    def __init__(self) -> None:
        self.remarks: list[str] = []
        self.warnings: list[str] = []

    def remark(self, name: str, sentence: str) -> None:
        """Add a sentence on a picture."""
        self.remarks.append(f"{name}: {sentence}")

    def warn(self, name: str, sentence: str) -> None:
        """Add a sentence on a picture that asks to be acted upon."""
        self.remark(name, sentence)
        self.warnings.append(self.remarks[-1])
