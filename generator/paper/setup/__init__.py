"""Setup sheets: what the person at the machine needs for one clamping of the blank."""
