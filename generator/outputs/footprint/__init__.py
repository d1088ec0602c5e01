"""Files of a traced footprint: recipe lines, DXF, picture, report, figures."""
