# farglide: `make demo` plans the invented flight, `make test` runs every check.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
# As the command does: no sum is large enough to be shared out.
export OPENBLAS_NUM_THREADS ?= 1

.PHONY: cluster-demo demo test quick labels soak docs bench fits honesty value rehearsals alarms lock clean

demo: $(VENV)/.run
	$(BIN)/farglide demo --out demo-out

test: $(VENV)/.dev
	scripts/check

quick: $(VENV)/.dev
	scripts/check --quick

# Thirty briefs in a browser: no label on another. Needs chromium; takes a minute and a half.
labels: $(VENV)/.dev
	$(BIN)/python -m pytest -q tests/report/thirty.py

# Hours: a million mutated files, a log whose writer is killed 2 000 times, and twelve hours of a log
# replayed, which take a quarter of an hour. Ended and begun again,
# the files go on; .soak holds what was done.
soak: $(VENV)/.dev
	$(BIN)/python -m tests.soak --out .soak
	$(BIN)/python -m tests.soak.killed --times 2000
	$(BIN)/python -m tests.soak.rides --times 50
	$(BIN)/python -m tests.soak.flood --minutes 10
	$(BIN)/python -m tests.soak.twelve
	$(BIN)/python -m tests.soak.twelve --every 30

docs: $(VENV)/.dev
	$(BIN)/sphinx-build -q -W -b html docs docs/_build/html

bench: $(VENV)/.dev
	$(BIN)/python -m bench --out docs/benchmarks.txt

# The open soundings are fetched once, into the user's cache.
fits: $(VENV)/.dev
	$(BIN)/python -m bench.odds.fetch
	$(BIN)/python -m bench.odds.fits --out docs/fits.txt

honesty: $(VENV)/.dev
	$(BIN)/python -m bench.odds.fetch
	$(BIN)/python -m bench.odds.honesty --out docs/honesty.txt

value: $(VENV)/.dev
	$(BIN)/python -m bench.value --out docs/value.txt

cluster-demo: $(VENV)/.dev
	$(BIN)/python -m bench.cluster

rehearsals: $(VENV)/.dev
	$(BIN)/python -m bench.rehearsals --out docs/rehearsals.txt

alarms: $(VENV)/.dev
	$(BIN)/python -m bench.alarms --out docs/alarms.txt

$(VENV)/.made:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "farglide needs Python 3.11 or newer")'
	$(PYTHON) -m venv $(VENV)
	@touch $@

$(VENV)/.run: $(VENV)/.made requirements.lock pyproject.toml
	@echo "installing what farglide needs (about 400 MB, once)"
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps -e .
	@touch $@

$(VENV)/.dev: $(VENV)/.run requirements-dev.lock
	@echo "installing what the checks need (about 500 MB, once)"
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements-dev.lock
	@touch $@

# Locks hold versions and hashes only, no registry addresses.
lock:
	uv pip compile --quiet --universal --generate-hashes --no-emit-index-url --no-header pyproject.toml -o requirements.lock
	uv pip compile --quiet --universal --generate-hashes --no-emit-index-url --no-header --extra dev pyproject.toml -o requirements-dev.lock

clean:
	rm -rf demo-out docs/_build .pytest_cache .mypy_cache .ruff_cache .hypothesis
