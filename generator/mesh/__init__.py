"""Triangles: slabs → closed meshes for plastic trial prints and for the turning view; no solid kernel."""
