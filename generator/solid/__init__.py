"""The one room that loads the solid kernel: parts to solids, STEP bytes out and in, volume, validity, holes."""
