"""Exact regions of the plane: closed contours of lines and circular arcs, and what can be asked of them."""
