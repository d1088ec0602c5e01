"""Outline kinds, one file each: what a person can write for a footprint, an outer shape, an insert or an opening."""
