#!/usr/bin/env bash
# Builds the library and installs it for C and C++ programs on Linux:
#   bash bindings/c/install.sh PREFIX
# puts salver.h, libsalver.a, libsalver.so with its versioned names, and salver.pc under PREFIX (DESTDIR is respected).
set -euo pipefail
[ $# -eq 1 ] || { echo "install.sh PREFIX" >&2; exit 2; }
prefix=$(realpath -m "$1")
into="${DESTDIR:-}$prefix"
cd "$(dirname "$0")/../.."
cargo build --release --locked --quiet -p salver-c
built="${CARGO_TARGET_DIR:-target}/release"
id=$(cargo pkgid -p salver-c)
version="${id##*[@#]}"
soname=$(readelf -d "$built/libsalver_c.so" | sed -n 's/.*(SONAME).*\[\(.*\)\]/\1/p')

mkdir -p "$into/include" "$into/lib/pkgconfig"
install -m 644 bindings/c/include/salver.h "$into/include/"
strip --strip-unneeded -o "$into/lib/libsalver.so.$version" "$built/libsalver_c.so"
strip --strip-debug -o "$into/lib/libsalver.a" "$built/libsalver_c.a"
chmod 755 "$into/lib/libsalver.so.$version"
chmod 644 "$into/lib/libsalver.a"
ln -sf "libsalver.so.$version" "$into/lib/$soname"
ln -sf "$soname" "$into/lib/libsalver.so"
sed -e "s|@PREFIX@|$prefix|" -e "s|@VERSION@|$version|" bindings/c/salver.pc.in > "$into/lib/pkgconfig/salver.pc"
