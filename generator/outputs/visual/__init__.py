"""The visual report's page: what it holds as data, its plan, its text, and the scripts that turn and measure."""
