"""What a general-purpose library takes to decode a scan, find its threshold and trace its contours; to compare with."""

from __future__ import annotations

import sys

from skimage.filters import threshold_otsu
from skimage.io import imread
from skimage.measure import find_contours


def main() -> None:
    grey = imread(sys.argv[1], as_gray=True)
    loops = find_contours(grey, threshold_otsu(grey))
    if not loops:
        raise SystemExit("no contour")


main()
