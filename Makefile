# Everything pinset needs, in a few words. `make demo` and `make test` are enough on a new machine.
SHELL := /bin/bash
PYTHON ?= python3
BIN := .venv/bin
STAMP := .venv/ready
DEV_STAMP := .venv/ready-dev

.PHONY: setup demo test fuzz check format bench docs lock clean browser

setup: $(STAMP)

.venv/made:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
	  { echo "pinset needs Python 3.11 or newer; $(PYTHON) is $$($(PYTHON) --version 2>&1)."; exit 1; }
	@$(PYTHON) -c 'import venv, ensurepip' 2>/dev/null || \
	  { echo "This system's Python lacks venv. On Debian and Ubuntu: apt-get install python3-venv"; exit 1; }
	@$(PYTHON) -m venv .venv
	@touch $@

$(STAMP): .venv/made requirements/base.txt pyproject.toml
	@$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r requirements/base.txt
	@$(BIN)/pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	@touch $@

$(DEV_STAMP): $(STAMP) requirements/dev.txt
	@$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r requirements/dev.txt
	@touch $@

demo: $(STAMP)
	@$(BIN)/pinset demo

browser: $(DEV_STAMP)
	@bash tools/install_browser.sh

test: $(DEV_STAMP) browser
	@$(BIN)/python tools/run_tests.py

# The property tests with new random farms and files each time, as long as one likes to look.
fuzz: $(DEV_STAMP)
	PINSET_FUZZ=1 $(BIN)/pytest -q -n 2 -p no:cacheprovider $$(grep -rl --include='test_*.py' 'from hypothesis' tests)

check: $(DEV_STAMP)
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/pytest -q tests/architecture

format: $(DEV_STAMP)
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

bench: $(DEV_STAMP)
	@$(BIN)/python benchmarks/run_all.py

docs: $(DEV_STAMP)
	$(BIN)/sphinx-build -W --keep-going -q docs docs/_build/html
	@echo "docs/_build/html/index.html"

# Developers only: needs uv on the path.
lock:
	for set in base dev; do uv pip compile --generate-hashes --no-emit-index-url --no-emit-find-links \
	  --no-header --universal --python-version 3.11 requirements/$$set.in -o requirements/$$set.txt; done

clean:
	rm -rf .venv build src/pinset.egg-info .mypy_cache .ruff_cache .pytest_cache docs/_build
