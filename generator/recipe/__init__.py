"""The recipe: safe YAML with places, located mistakes, expressions, inheritance, and the typed model."""
