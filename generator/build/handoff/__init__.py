"""What goes to the shop: one zip, and the check that its files state the same numbers."""
