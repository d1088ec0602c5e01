"""Checks: each one judges the plan from its regions and yields findings."""
