"""The 2.5D plan: features, parts, slabs, layers, setups, mass; everything that follows from regions and heights."""
