#!/usr/bin/env bash
# Builds the WASM package and lays it beside the page, with the list of files that the service worker keeps.
# A package that is already built is taken from the folder named in SALVER_WASM.
set -euo pipefail
export LC_ALL=C
cd "$(dirname "$0")"

package=${SALVER_WASM:-}
if [ -z "$package" ]; then
  bash ../../bindings/wasm/build.sh
  package=../../bindings/wasm/pkg
fi

rm -rf salver
mkdir salver
cp "$package"/{index.js,salver.js,salver_bg.wasm} salver/

page=(index.html page.css page.js icon.svg page.webmanifest parts/*.js)
engine=(salver/*)
files=("${page[@]}" "${engine[@]}")
version=$(sha256sum "${files[@]}" | sha256sum | cut -c1-16)
{
  printf '// Written by build.sh.\nself.OFFLINE = {\n  version: "%s",\n  files: [\n' "$version"
  printf '    "%s",\n' "${files[@]}"
  printf '  ],\n};\n'
} > salver/offline.js

size() {
  local zipped=0 file
  for file in "$@"; do zipped=$((zipped + $(gzip -9c "$file" | wc -c))); done
  echo "$(cat "$@" | wc -c) bytes, $zipped gzipped"
}
echo "page:   $(size "${page[@]}")"
echo "engine: $(size "${engine[@]}")"
