"""The dimensioned drawing of one made part: sheet, views, section, tables, and their layout."""
