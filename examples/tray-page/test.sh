#!/usr/bin/env bash
# Builds the page and drives it in a real browser. Installs what it needs (Debian's chromium, two npm packages).
set -euo pipefail
cd "$(dirname "$0")"

log=$(mktemp)
trap 'rm -f "$log"' EXIT
quietly() { "$@" > "$log" 2>&1 || { cat "$log"; echo "failed: $*"; exit 1; }; }

if ! command -v chromium > /dev/null; then
  admin=()
  [ "$(id -u)" -eq 0 ] || admin=(sudo)
  quietly "${admin[@]}" apt-get -o DPkg::Lock::Timeout=300 update
  quietly "${admin[@]}" apt-get -o DPkg::Lock::Timeout=300 install -y --no-install-recommends chromium fonts-liberation fonts-noto-color-emoji
fi
quietly bash build.sh
quietly npm ci --prefix test --no-audit --no-fund
quietly node --test --test-concurrency=1 test/spans.test.mjs test/page.test.mjs
echo "tray-page: $(sed -n 's/^[^0-9]*pass \([0-9]*\)$/\1/p' "$log") tests passed; screenshots in examples/tray-page/test/shots"
