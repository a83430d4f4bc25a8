#!/usr/bin/env bash
# Builds and tests the C interface from a fresh clone. When all is well it prints the sizes and one line.
set -euo pipefail
cd "$(dirname "$0")/../.."
trap 'echo "bindings/c/test.sh: failed at line $LINENO" >&2' ERR

missing=()
for pair in gcc:gcc g++:g++ readelf:binutils pkg-config:pkg-config valgrind:valgrind python3:python3; do
  command -v "${pair%%:*}" > /dev/null || missing+=("${pair##*:}")
done
if [ "${#missing[@]}" -gt 0 ]; then
  sudo=(); [ "$(id -u)" -eq 0 ] || sudo=(sudo)
  "${sudo[@]}" apt-get update -qq > /dev/null
  "${sudo[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -qq -y "${missing[@]}" > /dev/null
fi

top="$PWD"
CARGO_TARGET_DIR=$(realpath -m "${CARGO_TARGET_DIR:-target}")
export CARGO_TARGET_DIR
work="$CARGO_TARGET_DIR/c"
prefix="$work/prefix"
elsewhere="$work/elsewhere" # everything C is built here, knowing only what pkg-config says
rm -rf "$work"
mkdir -p "$elsewhere"
warnings=(-Wall -Wextra -Werror -pedantic)
valgrind=(valgrind --quiet --leak-check=full --show-leak-kinds=all --errors-for-leak-kinds=all --error-exitcode=9)

# The header is what the source says.
cargo test --locked --quiet -p salver-c --test header > "$work/header.log" 2>&1 || { cat "$work/header.log"; exit 1; }

bash bindings/c/install.sh "$prefix"
cargo build --release --locked --quiet -p salver-cli
salver="$CARGO_TARGET_DIR/release/salver"

# The library exports what the header declares and nothing else.
diff <(grep -o 'salver_[a-z_]*(' "$prefix/include/salver.h" | tr -d '(' | sort) \
  <(nm -D --defined-only "$prefix/lib/libsalver.so" | awk '{print $3}' | sort)

# Inputs, and the answers of the library as the command prints them.
python3 - "$elsewhere" <<'PY'
import glob, json, pathlib, shutil, sys

folder = pathlib.Path(sys.argv[1])
files = [json.load(open(path, encoding="utf-8")) for path in sorted(glob.glob("tests/cases/*.json"))]
cases = [case for file in files for case in file["cases"]]

def lines(name, rows):
    text = "".join(json.dumps(row, ensure_ascii=False) + "\n" for row in rows)
    (folder / name).write_text(text, encoding="utf-8")
    return text.encode()

checks = lines("cases.jsonl", [{"id": c["name"], "order": c["order"], "tray": c["tray"]} for c in cases])
taken = ("name", "ingredients", "tested")
lines("items.jsonl", [{"id": c["name"]} | {key: item[key] for key in taken if key in item}
                      for c in cases for item in c["tray"]["items"]])
lines("cards.jsonl", [{"id": c["name"], "text": c["order"]["text"]} for c in cases if c["order"].get("text")])
first, second = checks.splitlines()[:2]
mixed = [first, b"", b'{"order":', second + b"\r", b"caf\xe9", b" \t\r", b'{"order":{},"trey":{}}', b"[1]", b"\x00",
         b'{"id":"' + b"x" * 4_000_000 + b'"}', b'{"a\\u0000b":1}', first]
(folder / "mixed.jsonl").write_bytes(b"\n".join(mixed))
shutil.copy("examples/overlay.json", folder / "overlay.json")
lines("overlaid.jsonl", [{"order": {"allergies": ["milk"]}, "tray": {"items": [{"name": name}]}}
                         for name in ("Sunday Lindenhof", "oat pancake", "meatloaf", "mashed potatoes")])
PY
cp bindings/c/tests/*.c bindings/c/examples/* "$elsewhere"
cp examples/trays.jsonl "$elsewhere"
cd "$elsewhere"
answer() { "$salver" "${@:2}" > "$1.out" || [ $? -le 2 ]; }
answer cases check --json cases.jsonl
answer items read --json --file items.jsonl
answer cards card --json --file cards.jsonl
answer mixed check --json < mixed.jsonl
answer overlaid check --json --overlay overlay.json overlaid.jsonl
answer trays check --json trays.jsonl

export PKG_CONFIG_PATH="$prefix/lib/pkgconfig"
export LD_LIBRARY_PATH="$prefix/lib"
read -ra flags <<< "$(pkg-config --cflags --libs salver)"
read -ra compile <<< "$(pkg-config --cflags salver)"
read -ra private <<< "$(pkg-config --static --libs-only-l salver | sed 's/-lsalver//')"
static="$(pkg-config --variable=libdir salver)/libsalver.a"
version=$(pkg-config --modversion salver)

# The examples, against the shared and the static library.
gcc -std=c99 "${warnings[@]}" check_tray.c "${flags[@]}" -o check_tray
gcc -std=c99 "${warnings[@]}" "${compile[@]}" check_tray.c "$static" "${private[@]}" -o check_tray_static
g++ -std=c++11 "${warnings[@]}" check_lines.cpp "${flags[@]}" -o check_lines
g++ -std=c++11 "${warnings[@]}" "${compile[@]}" check_lines.cpp "$static" "${private[@]}" -o check_lines_static
for kind in "" _static; do
  ./check_tray$kind | grep -q '^{"verdict":"return",'
  ./check_lines$kind < trays.jsonl | cmp - trays.out
done

# The tests, fast with many rounds, then under valgrind.
gcc -std=c99 -O1 -g "${warnings[@]}" -DLIBRARY_VERSION="\"$version\"" salver_test.c "${flags[@]}" -pthread -o salver_test
./salver_test . 20
"${valgrind[@]}" ./salver_test . 1
"${valgrind[@]}" ./check_lines < trays.jsonl > /dev/null

# A panic, in a library built to have one. Rust's own message about it goes to standard error; a backtrace, where the
# environment asks for one, would keep its tables and count as a leak.
cd "$top"
cargo build --locked --quiet -p salver-c --features test-panic
cd "$elsewhere"
gcc -std=c99 "${warnings[@]}" "${compile[@]}" panic_test.c "$CARGO_TARGET_DIR/debug/libsalver_c.a" "${private[@]}" \
  -o panic_test
RUST_BACKTRACE=0 "${valgrind[@]}" ./panic_test 2> panic.log || { cat panic.log; exit 1; }
[ "$(grep -c 'made to panic' panic.log)" -eq 3 ]

cd "$top"
bash bindings/c/sizes.sh "$prefix"
echo "bindings/c: $(wc -l < "$elsewhere/cases.jsonl") cases, answers byte-identical; no leak, no memory error"
