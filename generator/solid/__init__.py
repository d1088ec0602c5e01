"""The only room that loads the solid kernel: part to solid, STEP bytes out and in, volume."""
