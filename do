#!/usr/bin/env bash
# Every task of the project. "./do help" lists them.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"

here=$PWD
env_dir=$here/.venv
env_python=$env_dir/bin/python
export PIP_DISABLE_PIP_VERSION_CHECK=1

say() { printf '%s\n' "$*" >&2; }
stop() { say "$*"; exit 2; }

help() {
  cat <<'TXT'
./do demo          set up, then shortlist the shipped lift and write its report to out/
./do run ARGS      dutyline with ARGS, for example: ./do run demand --example lift
./do test          set up and run all tests; "./do test fast" the units and published values alone
./do check         lint, format, types, layers, tracked files, wheel
./do bench         measure speed beside the plain reference calculation, in a browser too, and what
                   the audit catches
./do docs          write the generated pages again: docs/reference, docs/validation.md, scores of the audit;
                   "./do docs pictures" those of the workbench in docs/images
./do lock          compile requirements/*.lock from pyproject.toml
./do help          this list
TXT
}

find_python() {
  local candidate
  for candidate in python3.11 python3 python3.12 python3.13 python3.14; do
    if command -v "$candidate" >/dev/null 2>&1 &&
      "$candidate" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
      printf '%s\n' "$candidate"
      return
    fi
  done
  stop "Python 3.11 or newer is needed. On Debian: apt-get install python3 python3-pip"
}

# A virtual environment in .venv. Debian's python3 without python3-venv has no ensurepip;
# the environment is then made bare and filled by the pip outside it.
make_environment() {
  [ -x "$env_python" ] && return
  local python
  python=$(find_python)
  say "Making .venv with $("$python" --version)"
  if "$python" -c 'import ensurepip' 2>/dev/null; then
    "$python" -m venv "$env_dir"
  elif "$python" -m pip --version >/dev/null 2>&1; then
    "$python" -m venv --without-pip "$env_dir"
  else
    stop "Neither venv nor pip is there. On Debian: apt-get install python3-venv, or python3-pip"
  fi
}

env_pip() {
  if "$env_python" -m pip --version >/dev/null 2>&1; then
    "$env_python" -m pip "$@"
  else
    "$(find_python)" -m pip --python "$env_python" "$@"
  fi
}

# install run|dev: packages by hash from the lock file, then dutyline itself.
# Skipped when the stamp of the last installation still fits.
install() {
  local name=$1 lock=requirements/$1.lock stamp=$env_dir/stamp-$1 want
  make_environment
  want=$(cat "$lock" pyproject.toml | sha256sum | cut -d' ' -f1)
  [ -f "$stamp" ] && [ "$(cat "$stamp")" = "$want" ] && return
  say "Installing from $lock"
  env_pip install --quiet --require-hashes --no-deps -r "$lock"
  env_pip install --quiet --no-deps --no-build-isolation --editable .
  printf '%s\n' "$want" >"$stamp"
}

# need PACKAGE WHY SKIPPED TEST: installs a Debian package for the tests where that can be done;
# without it some of them are skipped.
need() {
  local package=$1 why=$2 skipped=$3 there=$4
  eval "$there" && return
  if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
    say "Installing $package, $why"
    if { apt-get install -y -qq --no-install-recommends "$package" ||
      { apt-get update -qq && apt-get install -y -qq --no-install-recommends "$package"; }; } \
      >/dev/null 2>&1; then
      return
    fi
  fi
  say "$package is missing and could not be installed; $skipped are skipped."
}

need_pdf_tools() {
  need poppler-utils "with which the tests read PDF pages back" "tests that read PDF pages" \
    'command -v pdftotext >/dev/null 2>&1 && command -v pdffonts >/dev/null 2>&1'
}

# The store is tested on PostgreSQL, too, in a cluster that the tests start for themselves.
need_postgresql() {
  need postgresql "on which the tests keep axes" "tests of keeping in it" \
    'compgen -G "/usr/lib/postgresql/*/bin/initdb" >/dev/null || command -v initdb >/dev/null 2>&1'
}

# The browser tests, the screenshots and the workbench's benchmark drive Debian's chromium.
need_chromium() {
  need chromium "in which the tests of the workbench run" "tests in a browser" \
    'command -v chromium >/dev/null 2>&1 || command -v chromium-browser >/dev/null 2>&1'
}

task_demo() {
  install run
  mkdir -p out
  local status=0
  say "\$ dutyline select --example lift"
  "$env_dir/bin/dutyline" select --example lift || status=$?
  [ "$status" -le 1 ] || exit "$status"
  say ""
  say "\$ dutyline report --example lift --to out/lift.pdf"
  status=0
  "$env_dir/bin/dutyline" report --example lift --to out/lift.pdf || status=$?
  [ "$status" -le 1 ] || exit "$status"
  say "The report is $here/out/lift.pdf"
}

task_run() {
  install run
  exec "$env_dir/bin/dutyline" "$@"
}

task_test() {
  install dev
  need_pdf_tools
  need_postgresql
  local select=()
  if [ "${1:-}" = fast ]; then
    shift
    select=(-m "not slow and not e2e and not property")
  else
    need_chromium
  fi
  unset PYTHONDONTWRITEBYTECODE # or every program that a test starts compiles the same files again
  exec "$env_python" -m pytest -q -n 2 --dist worksteal "${select[@]}" "$@"
}

task_check() {
  install dev
  local bin=$env_dir/bin failed=0
  step() {
    say "== $1"
    shift
    "$@" || failed=1
  }
  step "lint" "$bin/ruff" check .
  step "format" "$bin/ruff" format --check .
  step "types" "$bin/mypy"
  step "layers" "$bin/lint-imports" --no-cache
  step "tracked files" "$env_python" tools/tracked_files.py
  step "wheel" "$env_python" tools/wheel.py
  return "$failed"
}

task_bench() {
  install dev
  "$env_python" benchmarks/run.py "$@"
  "$env_python" benchmarks/large.py
  "$env_python" benchmarks/bring.py
  "$env_python" benchmarks/audit.py
  need_chromium
  "$env_python" benchmarks/workbench.py
  exec "$env_python" benchmarks/editors.py 60 50
}

task_docs() {
  install dev
  if [ "${1:-}" = pictures ]; then
    need_chromium
    exec "$env_python" tools/screenshots.py
  fi
  "$env_python" tools/validation.py "$@"
  "$env_python" tools/enquiries.py "$@"
  "$env_python" tools/audit_scores.py "$@"
  "$env_python" tools/estimates.py "$@"
  exec "$env_python" tools/reference.py "$@"
}

task_lock() {
  command -v uv >/dev/null 2>&1 || stop "uv is needed to compile the lock files."
  local options=(--universal --generate-hashes --no-header --no-annotate --quiet)
  uv pip compile pyproject.toml --extra report --extra web --group build "${options[@]}" \
    --output-file requirements/run.lock
  uv pip compile pyproject.toml --extra report --extra web --extra postgresql --group build --group dev "${options[@]}" \
    --output-file requirements/dev.lock
}

verb=${1:-help}
[ $# -gt 0 ] && shift
case $verb in
  demo | run | test | check | bench | docs | lock) "task_$verb" "$@" ;;
  help | -h | --help) help ;;
  *)
    say "There is no task \"$verb\"."
    help >&2
    exit 2
    ;;
esac
