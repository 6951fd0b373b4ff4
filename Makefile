# Two commands do all: `make demo` builds the demo lesson's pack, `make test` runs every test.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
WEB := $(shell find web -type f -not -path "*/node_modules/*")
SUDO := $(shell [ "$$(id -u)" = 0 ] || echo sudo)

.PHONY: demo test lint clean tools chromium pictures

$(BIN)/python:
	$(PYTHON) -m venv $(VENV) || { $(SUDO) apt-get update && $(SUDO) apt-get install -y python3-venv && $(PYTHON) -m venv $(VENV); }

$(VENV)/.installed: pyproject.toml hatch_build.py $(WEB) | $(BIN)/python
	$(BIN)/pip install --quiet -e '.[phone]'
	touch $@

$(VENV)/.test-installed: pyproject.toml hatch_build.py $(WEB) | $(BIN)/python
	$(BIN)/pip install --quiet -e '.[test]'
	touch $@ $(VENV)/.installed

demo: $(VENV)/.installed
	$(BIN)/lickwright build examples/thursday-class.md

chromium:
	@command -v chromium >/dev/null || { $(SUDO) apt-get update && $(SUDO) apt-get install -y chromium; }

# What only tests need: a sound font and its player, recorded notes, npm for a list of chord shapes.
tools: chromium
	@[ -d /usr/share/midi/freepats ] || { $(SUDO) apt-get update && $(SUDO) apt-get install -y freepats; }
	@command -v fluidsynth >/dev/null && [ -e /usr/share/sounds/sf2/FluidR3_GM.sf2 ] || { $(SUDO) apt-get update && $(SUDO) apt-get install -y fluidsynth fluid-soundfont-gm; }
	@command -v npm >/dev/null || { $(SUDO) apt-get update && $(SUDO) apt-get install -y npm; }

test: $(VENV)/.test-installed tools
	$(BIN)/python -m pytest -n 2 --dist loadgroup

pictures: $(VENV)/.test-installed chromium
	$(BIN)/python docs/make_pictures.py

lint: $(VENV)/.test-installed
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	cd web && npx --no-install tsc --noEmit

clean:
	rm -rf $(VENV) examples/*-pack
