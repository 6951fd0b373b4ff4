# Two commands do all: `make demo` builds the demo lesson's pack, `make test` runs every test.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
SUDO := $(shell [ "$$(id -u)" = 0 ] || echo sudo)

.PHONY: demo test lint clean chromium pictures

$(BIN)/python:
	$(PYTHON) -m venv $(VENV) || { $(SUDO) apt-get update && $(SUDO) apt-get install -y python3-venv && $(PYTHON) -m venv $(VENV); }

$(VENV)/.installed: pyproject.toml hatch_build.py | $(BIN)/python
	$(BIN)/pip install --quiet -e .
	touch $@

$(VENV)/.test-installed: pyproject.toml hatch_build.py | $(BIN)/python
	$(BIN)/pip install --quiet -e '.[test]'
	touch $@ $(VENV)/.installed

demo: $(VENV)/.installed
	$(BIN)/lickwright build examples/thursday-class.md

chromium:
	@command -v chromium >/dev/null || { $(SUDO) apt-get update && $(SUDO) apt-get install -y chromium; }

test: $(VENV)/.test-installed chromium
	$(BIN)/python -m pytest -n 2 --dist loadgroup

pictures: $(VENV)/.test-installed chromium
	$(BIN)/python docs/make_pictures.py

lint: $(VENV)/.test-installed
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports

clean:
	rm -rf $(VENV) examples/*-pack
