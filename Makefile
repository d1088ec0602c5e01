# coverplate: the two commands of the README are `make demo` and `make test`.
# Needs Python 3.11 or newer and make. Only relative paths are used, so that a folder with spaces in its name works.

PYTHON ?= python3
VENV := .venv
RUN := $(VENV)/bin/python
PYTEST := $(RUN) -m pytest

.PHONY: help demo test test-all lint format bench docs pictures machine clean

help:
	@echo "make demo      set up, build one demo recipe, say what was made and where"
	@echo "make test      set up, run the whole suite (format, lint, types and rooms included)"
	@echo "make test-all  the same with the slow tests"
	@echo "make lint      format check, lint, types, rooms"
	@echo "make bench     timings as ratios against a plain cadquery script, in one run"
	@echo "make pictures  remake what README.md shows from real builds"
	@echo "make docs      remake the schema and the reference pages from the declarations"

machine:
	@PYTHON="$(PYTHON)" sh .ci/machine

$(VENV)/ready: pyproject.toml
	@PYTHON="$(PYTHON)" sh .ci/machine
	@echo "setting up $(VENV) (once; some minutes) ..."
	@$(PYTHON) -m venv $(VENV)
	@$(RUN) -m pip install --quiet --disable-pip-version-check --upgrade pip
	@$(RUN) -m pip install --quiet --disable-pip-version-check --editable .
	@$(RUN) -m compileall -q generator
	@touch $@

$(VENV)/ready-test: $(VENV)/ready
	@$(RUN) -m pip install --quiet --disable-pip-version-check --editable '.[test]'
	@touch $@

demo: machine $(VENV)/ready
	@$(RUN) -m generator.cli build recipes/gate-latch.yaml

test: machine $(VENV)/ready-test
	@$(PYTEST) -n auto -m "not slow"

test-all: machine $(VENV)/ready-test
	@$(PYTEST) -n auto

lint: $(VENV)/ready-test
	@$(PYTEST) tests/test_house.py

format: $(VENV)/ready-test
	@$(RUN) -m ruff format generator tests
	@$(RUN) -m ruff check --fix generator tests

bench: machine $(VENV)/ready-test
	@$(RUN) tests/bench/bench.py

docs: $(VENV)/ready
	@$(RUN) -m generator.cli schema --write schema/recipe.schema.json
	@$(RUN) -m generator.cli schema --printer --write schema/printer.schema.json
	@$(RUN) -m generator.cli schema --readings --write schema/readings.schema.json
	@$(RUN) -m generator.cli schema --family --write schema/family.schema.json
	@$(RUN) -m generator.cli schema --reference --write docs/recipe.md
	@$(RUN) -m generator.cli schema --checks --write docs/checks.md

pictures: $(VENV)/ready-test
	@$(RUN) tests/papers/remake.py

clean:
	@rm -rf $(VENV) build dist *.egg-info
