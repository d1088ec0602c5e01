"""Sheets of paper as values, and their one writer and reader: what templates, drawings and setup sheets are made of."""
