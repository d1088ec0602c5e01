"""Formulas of the trade and of engineering: pure functions of numbers, each with its published source."""
