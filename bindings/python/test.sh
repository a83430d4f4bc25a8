#!/usr/bin/env bash
# Builds the wheel into bindings/python/dist, installs it into a fresh environment and tests it there, from another folder.
# Needs stable Rust, Python 3.11 or later with pip, and the package registries.
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
root="$(cd "$here/../.." && pwd)"
build="$root/target/python"
export CARGO_TARGET_DIR="$root/target"
mkdir -p "$build"

# Runs a step and shows what it printed only when it fails.
quietly() {
  local said="$build/said.txt"
  "$@" > "$said" 2>&1 || { echo "failed: $*" >&2; cat "$said" >&2; exit 1; }
}

cd "$root"
quietly python3 -m venv --clear "$build/venv"
export PATH="$build/venv/bin:$PATH" PIP_DISABLE_PIP_VERSION_CHECK=1 PYTHONDONTWRITEBYTECODE=1
quietly pip install -r "$here/tests/requirements.txt"
quietly cargo build --release --locked -p salver-cli
rm -rf "$here/dist"
quietly maturin build --release --locked --manifest-path "$here/Cargo.toml" --out "$here/dist"

elsewhere="$(mktemp -d)"
trap 'rm -rf "$elsewhere"' EXIT
cd "$elsewhere"
quietly pip install "$here"/dist/*.whl
export SALVER_COMMAND="$root/target/release/salver"
quietly mypy --strict --cache-dir "$build/mypy" -p salver
quietly mypy --strict --cache-dir "$build/mypy" "$here/tests/typed_program.py"
quietly stubtest --ignore-disjoint-bases salver._native
quietly python "$here/tests/typed_program.py"
quietly pytest -p no:cacheprovider "$here/tests"
tail -n 1 "$build/said.txt"
python "$here/measure.py" "$here"/dist/*.whl
