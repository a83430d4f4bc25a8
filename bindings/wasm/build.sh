#!/usr/bin/env bash
# Builds the npm package into bindings/wasm/pkg. Everything between is kept in target/wasm.
#
# Toolchain: the ordinary one, with the sources of std (rustup's rust-src). Where they cannot be downloaded, Debian's compiler for wasm
# is unpacked (not installed: it would conflict with rustup) into target/wasm/debian. WASM_TOOLCHAIN=debian forces that.
set -euo pipefail
cd "$(dirname "$0")"
build=$(cd ../.. && pwd)/target/wasm
target=wasm32-unknown-unknown
mkdir -p "$build/npm" pkg

# Quiet unless it fails.
quietly() { "$@" > "$build/log" 2>&1 || { cat "$build/log" >&2; echo "failed: $*" >&2; exit 1; }; }
as_root() { if [ "$(id -u)" -eq 0 ]; then "$@"; else sudo "$@"; fi; }

debian_toolchain() {
  local folder=$build/debian
  if [ ! -e "$folder/rustc" ]; then
    rm -rf "$folder" && mkdir -p "$folder"
    quietly as_root apt-get -o DPkg::Lock::Timeout=300 update
    local library llvm
    library=$(apt-cache depends libstd-rust-web-dev | sed -n 's/.*Depends: \(libstd-rust-web-[0-9.]*\)$/\1/p')
    llvm=$(apt-cache depends "$library" rustc-web | sed -n 's/.*Depends: \(libllvm[0-9]*\)$/\1/p' | head -n 1)
    quietly as_root apt-get -o DPkg::Lock::Timeout=300 install -y --no-install-recommends "$llvm" lld
    (cd "$folder" && quietly apt-get download rustc-web libstd-rust-web-dev "$library" rust-web-src)
    for package in "$folder"/*.deb; do dpkg -x "$package" "$folder"; done
    rm "$folder"/*.deb
    # Cargo looks for the sources of std below the compiler's own folder.
    local sources=$folder/usr/lib/rustlib/src/rust
    [ -e "$sources/library" ] || { mkdir -p "${sources%/*}" && ln -sfn "$(echo "$folder"/usr/src/rustc-*)" "$sources"; }
    printf '#!/bin/sh\nLD_LIBRARY_PATH="%s/usr/lib/%s-linux-gnu:%s/usr/lib" exec "%s/usr/bin/rustc" "$@"\n' \
      "$folder" "$(uname -m)" "$folder" "$folder" > "$folder/rustc"
    chmod +x "$folder/rustc"
  fi
  export RUSTC=$folder/rustc CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER=wasm-ld
}

# The tools first, with the ordinary compiler; both have their versions in their lock files.
quietly cargo build --release --locked --manifest-path bindgen/Cargo.toml --target-dir "$build/tools"
cp package.json package-lock.json "$build/npm/"
(cd "$build/npm" && cmp -s package-lock.json node_modules/.installed || {
  quietly npm ci --no-audit --no-fund && cp package-lock.json node_modules/.installed
})

if [ "${WASM_TOOLCHAIN:-}" = debian ]; then
  debian_toolchain
elif ! rustup component list --installed 2> /dev/null | grep -q '^rust-src'; then
  timeout 120 rustup component add rust-src > "$build/log" 2>&1 || debian_toolchain
fi

# std is built with the crate, for size: its own size settings, and panics that stop without a message. These settings have no
# stable spelling yet, hence RUSTC_BOOTSTRAP.
export RUSTC_BOOTSTRAP=1
export CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS="-Zunstable-options -Cpanic=immediate-abort -Zlocation-detail=none"
module() {
  local name=$1
  shift
  quietly cargo build --release --locked --target $target --target-dir "$build/cargo" \
    -Zbuild-std=std,panic_abort -Zbuild-std-features=optimize_for_size "$@"
  quietly "$build/tools/release/bindgen" "$build/cargo/$target/release/salver_wasm.wasm" "$build/bound" "$name"
  quietly "$build/npm/node_modules/.bin/wasm-opt" -Os --converge --enable-bulk-memory --enable-sign-ext --enable-mutable-globals --enable-nontrapping-float-to-int --enable-reference-types --enable-multivalue --strip-debug --strip-producers \
    "$build/bound/${name}_bg.wasm" -o "pkg/${name}_bg.wasm"
  cp "$build/bound/$name.js" pkg/
}
rm -f pkg/*
module salver --no-default-features
module salver_overlay
cp js/* README.md ../../LICENSE-* pkg/
