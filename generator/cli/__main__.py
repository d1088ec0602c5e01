"""Lets ``python -m generator.cli`` run the command."""

import sys

from generator.cli.main import main

sys.exit(main())
