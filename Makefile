# A fresh machine needs make and Python 3.11 or newer; everything else goes into .venv, here.
# Another interpreter: make setup PYTHON=python3.12

PYTHON ?= python3
BIN := .venv/bin
READY := .venv/.ready
ARGS ?=
export PIP_DISABLE_PIP_VERSION_CHECK := 1

.DEFAULT_GOAL := help
.PHONY: help setup demo test lint bench pictures lock

help: ## what can be made here
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "make %-7s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

setup: $(READY) ## .venv with exactly what requirements.lock names

# Again only when the lock or the project file changes.
$(READY): requirements.lock pyproject.toml
	@python=$(PYTHON); test ! -x $(BIN)/python || python=$(BIN)/python; \
	version=$$($$python -c 'import platform; print(platform.python_version())' 2>/dev/null || echo missing); \
	$$python -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || { \
	  echo "make setup: $$python is $$version; expected Python 3.11 or newer" \
	    "(another: make setup PYTHON=python3.12; an old .venv has to be deleted first)" >&2; exit 1; }
	test -x $(BIN)/python || $(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --no-deps --no-build-isolation -e .
	@touch $@

demo: $(READY) ## plan an invented week of finds, and make up months for the app
	@$(BIN)/partway demo
	@echo "  (here the command is $(BIN)/partway; docs/scenario.md explains each field of the file)"
	@test -d .demo || $(BIN)/partway demo --workspace .demo >/dev/null
	@echo "The app, on invented months: $(BIN)/partway serve --workspace .demo"

test: $(READY) ## every test (ARGS="-k words" for some)
	@# Where PostgreSQL is installed the ledger is tried on it too; .ci/run sees to it that it is.
	@run=; if test -z "$$PARTWAY_TEST_POSTGRES" && .ci/postgres ready; then run=".ci/postgres with"; \
	elif test -z "$$PARTWAY_TEST_POSTGRES"; then echo "no PostgreSQL here, so its tests do not run (.ci/postgres install)"; fi; \
	if ! .ci/browser ready; then .ci/browser install || echo "no browser here, so its tests do not run"; fi; \
	if ! .ci/clock ready; then .ci/clock install || echo "no faketime here, so its tests do not run"; fi; \
	set -x; exec $$run $(if $(ARGS),$(BIN)/pytest $(ARGS),.ci/tests)

lint: $(READY) ## style, format, types, layers
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: $(READY) ## how fast, against other solvers in the same run
	$(BIN)/python benchmarks/compare.py
	$(BIN)/python benchmarks/start.py
	$(BIN)/python benchmarks/depth.py
	$(BIN)/python benchmarks/ledger.py
	$(BIN)/python benchmarks/pages.py
	$(BIN)/python benchmarks/identify.py

pictures: $(READY) ## draw the README's pictures from the demo
	$(BIN)/python docs/make_pictures.py

# Newer versions of everything; docs/decisions/0003 says why no line of the lock may name a place.
lock: $(READY) ## renew requirements.lock
	rm -rf build/lock
	$(BIN)/python -m venv build/lock
	build/lock/bin/python -m pip install --quiet --upgrade pip pip-tools
	CUSTOM_COMPILE_COMMAND="make lock" build/lock/bin/pip-compile --quiet --upgrade --generate-hashes \
	  --all-extras --all-build-deps --allow-unsafe --strip-extras --no-emit-options --no-emit-index-url \
	  --no-emit-find-links --no-emit-trusted-host --output-file requirements.lock pyproject.toml
	@! grep -nE '^--|://|@ ' requirements.lock
