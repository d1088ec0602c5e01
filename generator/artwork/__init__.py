"""Outlines read from files: DXF text to regions."""
