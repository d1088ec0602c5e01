"""From a scan or photo of the original and a few caliper readings to its footprint, with uncertainties."""
