#!/usr/bin/env bash
# Sizes of the installed library, in bytes: sizes.sh [PREFIX]; without one it installs into the build folder first.
set -euo pipefail
cd "$(dirname "$0")/../.."
prefix="${1:-${CARGO_TARGET_DIR:-target}/c/prefix}"
[ $# -eq 1 ] || bash bindings/c/install.sh "$prefix"
shared=$(realpath "$prefix/lib/libsalver.so")
echo "shared library, stripped: $(stat -c %s "$shared")"
echo "the same, gzip -9: $(gzip -9 -c "$shared" | wc -c)"
echo "static library, without debug information: $(stat -c %s "$prefix/lib/libsalver.a")"
