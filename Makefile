# Two commands are enough: `make run` and `make test`. Everything they make lives in .venv/ and var/.
PYTHON ?= python3
PORT   ?= 8000
HOST   ?= 127.0.0.1
DEMO   ?= 1
PYTEST_ARGS ?=
BIN := .venv/bin
INSTALLED := .venv/installed
COMPILED := .venv/compiled
VAR_DIR ?= var
STATIC := $(VAR_DIR)/static/staticfiles.json
WORDS := .venv/words

.PHONY: run test lint picture pictures clean

run: $(COMPILED) $(WORDS) $(STATIC)
	@HTTPS=$${HTTPS:-0} DEMO=$(DEMO) exec $(BIN)/python manage.py serve --host $(HOST) --port $(PORT)

test: lint $(COMPILED) $(WORDS)
	$(BIN)/pytest -n 2 --dist worksteal $(PYTEST_ARGS)

lint: $(INSTALLED)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/lint-imports

picture: $(INSTALLED)
	$(BIN)/python -m tests.pictures.draw

pictures: $(INSTALLED)
	$(BIN)/python -m tests.pictures.screens

clean:
	rm -rf .venv var .pytest_cache .ruff_cache .import_linter_cache .hypothesis

$(INSTALLED): requirements.txt
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Tillfeather needs Python 3.11 or newer")'
	$(PYTHON) -m venv .venv
	$(BIN)/pip install --quiet --disable-pip-version-check --requirement requirements.txt
	@touch $@

$(COMPILED): $(INSTALLED) $(wildcard rotation/engine/*.py rotation/engine/*/*.py)
	@$(BIN)/python -c 'from rotation.engine.search import ready; ready()'
	@touch $@

$(WORDS): $(INSTALLED) $(wildcard */locale/*/LC_MESSAGES/*.po)
	@$(BIN)/python manage.py catalogues --compile-only
	@touch $@

$(STATIC): $(INSTALLED) $(wildcard static/*)
	@$(BIN)/python manage.py collectstatic --noinput --verbosity 0
	@touch $@
