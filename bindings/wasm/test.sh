#!/usr/bin/env bash
# Builds the package and tests it: in Node, in headless Chromium, as TypeScript, packed and installed elsewhere; then sizes and times.
set -euo pipefail
cd "$(dirname "$0")"
root=$(cd ../.. && pwd)
build=$root/target/wasm

cargo fmt --check
bash build.sh
command -v chromium > /dev/null || {
  as_root() { if [ "$(id -u)" -eq 0 ]; then "$@"; else sudo "$@"; fi; }
  as_root apt-get -o DPkg::Lock::Timeout=300 update > "$build/log"
  as_root apt-get -o DPkg::Lock::Timeout=300 install -y --no-install-recommends chromium > "$build/log"
}

# What the library answers, from the command, which prints its bytes.
cargo build --quiet --release --locked --manifest-path "$root/Cargo.toml" -p salver-cli
cargo run --quiet --release --locked --manifest-path "$root/Cargo.toml" --example generate_checks -- 10000 > "$build/many.jsonl"
node test/expect.mjs "$root" "$build"

node --test test/node.mjs
node --test test/chromium.mjs

# Every answer as a literal of its type.
tsc="$build/npm/node_modules/.bin/tsc"
"$tsc" --strict --noEmit --target es2022 --module nodenext --exactOptionalPropertyTypes --noUncheckedIndexedAccess \
  --types '' test/typed.ts "$build/answers.ts"

# As a stranger would use it.
elsewhere=$(mktemp -d)
trap 'rm -rf "$elsewhere"' EXIT
npm pack --silent --pack-destination "$elsewhere" ./pkg > /dev/null
cp test/stranger.mjs "$elsewhere/"
(cd "$elsewhere" && npm init -y > /dev/null && npm install --silent --offline --no-audit --no-fund ./salver-*.tgz && node stranger.mjs)

node test/figures.mjs "$root" "$build"
