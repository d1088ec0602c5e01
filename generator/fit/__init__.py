"""Does the cover go over the original with all bolts in? Errors of making and measuring, and the best placement."""
