# Two commands are all a newcomer needs:  make demo   and   make test
#
#   make demo [PORT=8765] [DIR=demo-plant] [FRESH=1]   set up, make the demo plant, serve it
#   make test                                          set up, format, lint, types, all tests
#   make test-everywhere                               the same, the watch in PostgreSQL too
#   make check                                         format, lint and types alone
#   make bench                                         figures, each beside a named peer
#   make lock                                          make the two lock files anew

PORT ?= 8765
DIR ?= demo-plant
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check -qq
# The newest of the Pythons we are tested on; PYTHON=… names another.
PYTHON ?= $(shell for p in python3 python3.13 python3.12 python3.11; do \
	$$p -c 'import sys; sys.exit(not (3, 11) <= sys.version_info[:2] <= (3, 13))' 2>/dev/null && echo $$p && break; done)

.PHONY: demo test test-everywhere check format bench bench-screen bench-diagnose lock chromium postgresql clean

demo: $(VENV)/.demo
	@exec $(BIN)/gaugewalk demo --folder "$(DIR)" --port "$(PORT)" $(if $(FRESH),--fresh)

test: $(VENV)/.test chromium postgresql check
	$(BIN)/python -m pytest -n 2

test-everywhere: $(VENV)/.test chromium postgresql check
	$(BIN)/python -m pytest -n 2 --everywhere

check: $(VENV)/.test
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy

format: $(VENV)/.test
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

bench: $(VENV)/.test
	$(BIN)/python -m bench

bench-screen: $(VENV)/.test
	$(BIN)/python -m bench.screen

bench-diagnose: $(VENV)/.test
	$(BIN)/python -m bench.diagnose

$(VENV)/python-ok:
	@test -n "$(PYTHON)" || { echo "Gaugewalk needs Python 3.11, 3.12 or 3.13; none was found. Install one, or name it: make PYTHON=/path/to/python3.12 $(MAKECMDGOALS)"; exit 1; }
	@$(PYTHON) -m venv $(VENV) || { echo "Python could not make a virtual environment; on Debian: apt install python3-venv"; exit 1; }
	@touch $@

$(VENV)/.demo: $(VENV)/python-ok requirements.lock pyproject.toml
	@echo "Setting up (once) …"
	@$(PIP) install --require-hashes -r requirements.lock
	@$(PIP) install --no-deps --no-build-isolation --editable .
	@touch $@

$(VENV)/.test: $(VENV)/python-ok requirements-dev.lock pyproject.toml
	@echo "Setting up for the tests (once) …"
	@$(PIP) install --require-hashes -r requirements-dev.lock
	@$(PIP) install --no-deps --no-build-isolation --editable .
	@touch $@ $(VENV)/.demo

# The browser tests want Debian's chromium. Without it, and where we may not install it, they say
# in one line that they were skipped and how to get them.
chromium:
	@command -v chromium >/dev/null 2>&1 || command -v chromium-browser >/dev/null 2>&1 || \
	{ command -v apt-get >/dev/null 2>&1 && test "$$(id -u)" = 0 && echo "Installing chromium for the browser tests …" && \
	DEBIAN_FRONTEND=noninteractive sh -c 'apt-get update -qq && apt-get install -y -qq --no-install-recommends chromium fonts-dejavu-core' >/dev/null 2>&1; } || \
	echo "No Chromium here: the browser tests will be skipped. To have them: apt install chromium"

# The same for Debian's PostgreSQL, which the tests start by themselves in a folder of their own.
postgresql:
	@command -v postgres >/dev/null 2>&1 || ls /usr/lib/postgresql/*/bin/postgres >/dev/null 2>&1 || \
	{ command -v apt-get >/dev/null 2>&1 && test "$$(id -u)" = 0 && echo "Installing postgresql for the tests of the journal …" && \
	DEBIAN_FRONTEND=noninteractive sh -c 'apt-get update -qq && apt-get install -y -qq --no-install-recommends postgresql' >/dev/null 2>&1; } || \
	echo "No PostgreSQL here: its tests will be skipped. To have them: apt install postgresql"

lock:
	@$(PIP) install uv
	$(BIN)/uv pip compile --universal --python-version 3.11 --generate-hashes --no-header --quiet --upgrade \
	--extra all --extra build pyproject.toml -o requirements.lock
	$(BIN)/uv pip compile --universal --python-version 3.11 --generate-hashes --no-header --quiet --upgrade \
	--extra dev pyproject.toml -o requirements-dev.lock -c requirements.lock

clean:
	rm -rf $(VENV) .pytest_cache .mypy_cache .ruff_cache .hypothesis
