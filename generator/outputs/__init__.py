"""Outputs: each one yields the files of its kind and proves them by reading them back."""
