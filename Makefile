# The two main commands are `make demo` and `make test`. Both set up what they need; they require Python 3.11 or later with venv, and
# the network once. To use another Python as well: make demo PYTHON=python3.13 VENV=.venv-3.13
PYTHON ?= python3
VENV ?= .venv
BIN := $(VENV)/bin
INSTALL = $(BIN)/python -m pip install --quiet --disable-pip-version-check

.PHONY: demo test all-tests test-whole test-quick check lock check-wheels voice bench bench-hearing bench-load bench-memory drill second-opinion talks year mutants clean

demo: $(VENV)/.demo
	$(BIN)/doorround play --logbook demo_conversations/demo.talk

# otherwise each process that the tests start would compile all its modules again
test all-tests test-whole test-quick bench-memory: export PYTHONDONTWRITEBYTECODE :=

# ruff and mypy beside pytest: alone they would leave a processor idle
test: $(VENV)/.dev
	$(MAKE) --no-print-directory -j2 check all-tests

all-tests: $(VENV)/.dev
	# each module runs in one process, which loads its engines once; speech modules start first (tests/engine_scheduling.py), then the slowest (tests/slowest.py)
	$(BIN)/python -m pytest -n auto --dist loadfile --no-loadscope-reorder

# The same, with every case of the sets that make test only samples (tests/whole.py): before a release.
test-whole: $(VENV)/.dev check
	TEST_WHOLE=1 $(BIN)/python -m pytest -n auto --dist loadfile --no-loadscope-reorder

# Unit tests only, without the slowest modules (tests/slowest.py): for daily work and for other Pythons.
test-quick: $(VENV)/.dev
	$(BIN)/python -m pytest -n auto --dist loadfile -m "not slow" tests/unit

check: $(VENV)/.dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

# Total memory of all test processes; runs every test.
bench-memory: $(VENV)/.dev
	$(BIN)/python -m tests.benchmarks.bench_memory

bench: $(VENV)/.dev
	$(BIN)/python -m tests.benchmarks.bench_visit
	$(BIN)/python -m tests.benchmarks.bench_logbook
	$(BIN)/python -m tests.benchmarks.bench_hearing
	$(BIN)/python -m tests.benchmarks.bench_register
	$(BIN)/python -m tests.benchmarks.bench_pool
	$(BIN)/python -m tests.benchmarks.bench_long_note
	$(BIN)/python -m tests.benchmarks.bench_due
	$(BIN)/python -m tests.benchmarks.bench_start

# The full fault drill against the Telegram stand-in: several minutes.
drill: $(VENV)/.dev
	$(BIN)/python -m tests.benchmarks.bench_drill

# 200 chats at once against the Telegram stand-in, some with voice notes: several minutes. Once unthrottled, once at Telegram's rate limit.
bench-load: $(VENV)/.dev
	$(BIN)/python -m tests.benchmarks.bench_load
	$(BIN)/python -m tests.benchmarks.bench_load --paced

# Simulates a year of 400 doors and checks invariants every day; tests/unit/test_year.py simulates a smaller one.
year: $(VENV)/.dev
	$(BIN)/python -m tests.benchmarks.bench_year

# 10,000 random talks, then 300 random chats through a messenger, each line checked against a ledger;
# tests/unit/test_talk_ledger.py and test_chat_ledger.py run a few.
talks: $(VENV)/.dev
	$(BIN)/python -m tests.benchmarks.many_talks
	$(BIN)/python -m tests.benchmarks.many_talks --chats --talks 300

# Runs the bot against the npm package telegram-test-api, unmodified; needs node and npm.
second-opinion: $(VENV)/.dev
	npm install --prefix tests/telegram --no-save --no-package-lock --no-audit --no-fund telegram-test-api@4.2.1
	$(BIN)/python -m pytest tests/telegram/test_second_opinion.py

# Human speech from the folder DOORROUND_SPEECH: an hour. The first step can be interrupted and resumes. Draws docs/hearing/.
bench-hearing: $(VENV)/.dev
	$(BIN)/python -m tests.benchmarks.bench_noise --work bench-noise.jsonl --save-wrong bench-wrong
	$(BIN)/python -m tests.benchmarks.bench_questions --each 9 --seed 303 --levels --work bench-questions.jsonl
	$(BIN)/python -m tests.benchmarks.bench_hearing --json bench-hearing.json
	$(BIN)/python -m scripts.draw_hearing --work bench-noise.jsonl --phrases bench-questions.jsonl --engines bench-hearing.json

# Mutation testing of the judging rules: lists the surviving mutants (about 15 minutes; in mutants/).
mutants: $(VENV)/.dev
	$(BIN)/python scripts/mutants.py

# Generates the demo's voice files with the synthesiser that the dev extra installs.
voice: $(VENV)/.dev
	$(BIN)/python scripts/make_demo_voice.py

# Lock files with hashes, for every platform; run after changing dependencies in pyproject.toml. The second listener and the IFC reader
# are locked separately, because they have wheels for fewer systems than the rest.
UV := $(or $(shell command -v uv),.uv/bin/uv)
COMPILE = $(UV) pip compile --quiet --universal --no-header --generate-hashes --find-links wheels --emit-find-links
lock: $(UV)
	$(COMPILE) --extra first-listener --extra setup pyproject.toml -o requirements.lock
	$(COMPILE) --extra first-listener --extra aloud --extra plots --extra setup --extra dev -c requirements.lock pyproject.toml -o requirements-dev.lock
	grep -o 'moonshine-voice==[0-9.]*' pyproject.toml | $(COMPILE) -c requirements.lock - -o requirements-second.lock
	grep -o 'ifcopenshell>=[0-9.]*' pyproject.toml | $(COMPILE) -c requirements-dev.lock - -o requirements-ifc.lock

# Checks that every locked package has a wheel, on four Pythons and four platforms. Installs nothing; needs the network.
check-wheels: $(UV)
	$(PYTHON) scripts/check_wheels.py --uv $(UV)

.uv/bin/uv:
	$(PYTHON) -m venv .uv
	.uv/bin/python -m pip install --quiet --disable-pip-version-check uv

$(VENV)/bin/python:
	$(PYTHON) -c 'import sys; sys.exit(None if sys.version_info >= (3, 11) else "Python 3.11 or later is needed: make PYTHON=python3.11 …")'
	$(PYTHON) -m venv $(VENV)

$(VENV)/.demo: requirements.lock requirements-second.lock pyproject.toml | $(VENV)/bin/python
	$(INSTALL) --only-binary :all: --require-hashes -r requirements.lock
	$(INSTALL_SECOND)
	$(INSTALL) --no-deps --no-build-isolation --editable .
	touch $@

$(VENV)/.dev: requirements-dev.lock requirements-second.lock requirements-ifc.lock pyproject.toml | $(VENV)/bin/python
	$(INSTALL) --only-binary :all: --require-hashes -r requirements-dev.lock
	$(INSTALL_SECOND)
	$(INSTALL_IFC)
	$(INSTALL) --no-deps --no-build-isolation --editable .
	touch $@ $(VENV)/.demo

# Recognition works without it, but is less accurate in noise.
INSTALL_SECOND = $(INSTALL) --only-binary :all: --require-hashes -r requirements-second.lock \
	|| echo "The second listener was not installed: it needs glibc 2.34, macOS 15 or Windows. Going on without it, less sure in noise."

# Without it, its tests are skipped.
INSTALL_IFC = $(INSTALL) --only-binary :all: --require-hashes -r requirements-ifc.lock \
	|| echo "The reader of IFC models was not installed: it needs glibc 2.31, macOS or Windows."

clean:
	rm -rf mutants $(VENV) .venv-3.* .uv .mypy_cache .ruff_cache .pytest_cache .hypothesis dist
