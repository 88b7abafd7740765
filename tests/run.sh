#!/usr/bin/env bash
# Runs all tests, and first installs what they need beside the Rust toolchain. Needs Debian and root for installing;
# where everything is there already, neither.
set -euo pipefail
cd "$(dirname "$0")/.."

say() { printf '%s\n' "$*" >&2; }

# Programs the tests start, and the Debian packages that bring them. The last ones are files: faces that pages are
# looked at with.
needs=(
  "chromium chromium"
  "chromedriver chromium-driver"
  "firefox-esr firefox-esr"
  "WebKitWebDriver webkit2gtk-driver"
  "Xvfb xvfb"
  "pdftotext poppler-utils"
  "zbarimg zbar-tools"
  "node nodejs"
  "npm npm"
  "unshare util-linux"
  "sha256sum coreutils"
  "/usr/share/fonts/truetype/liberation/LiberationSans-Regular.ttf fonts-liberation"
  "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf fonts-dejavu-core"
)

is_there() { if [[ $1 == /* ]]; then [[ -e $1 ]]; else command -v "$1" >/dev/null; fi; }

missing=()
for need in "${needs[@]}"; do
  read -r thing package <<<"$need"
  is_there "$thing" || missing+=("$package")
done

if ((${#missing[@]})); then
  say "The tests need ${missing[*]}; installing."
  if [[ $(id -u) != 0 ]] || ! command -v apt-get >/dev/null; then
    say "Only root on Debian can have them installed from here. Install ${missing[*]} and run this again."
    exit 2
  fi
  log=$(mktemp)
  trap 'rm -f "$log"' EXIT
  if ! { apt-get update && DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends "${missing[@]}"; } \
    >"$log" 2>&1 </dev/null; then
    tail -n 20 "$log" >&2
    say "The packages could not be installed; the lines above are the last that apt-get said."
    exit 2
  fi
fi

# The driver of Firefox is in no Debian package.
export PATH=$PATH:${CARGO_HOME:-$HOME/.cargo}/bin
if ! is_there geckodriver; then
  say "The tests need geckodriver; building it."
  log=$(mktemp)
  if ! env -u CARGO_TARGET_DIR cargo install --quiet --locked --debug --version 0.37.0 geckodriver >"$log" 2>&1 </dev/null; then
    tail -n 20 "$log" >&2
    say "geckodriver could not be built; the lines above are the last that cargo said."
    exit 2
  fi
  rm -f "$log"
fi

# What the script tests are measured against stays out of the tree; what they are compared with is built by the program itself.
say "Testing the scripts."
kit=${CARGO_TARGET_DIR:-target}/script-tests
mkdir -p "$kit"
cp tests/search-kit/package.json tests/search-kit/package-lock.json "$kit"
if ! (cd "$kit" && npm ci --no-audit --no-fund) >"$kit/npm.log" 2>&1 </dev/null; then
  tail -n 20 "$kit/npm.log" >&2
  say "The libraries for testing the scripts could not be installed; the lines above are the last that npm said."
  exit 2
fi
cargo build --locked --quiet --example search_index --example plan_next
cargo run --locked --quiet -- compile content --out "$kit/site" >/dev/null
say "Through the pages of the walk ${STEPS:-5000} random steps are taken, through its plans 5,000; this takes some minutes."
mapfile -t scripts < <(find themes tests -name '*.test.js' -not -path '*/node_modules/*' | sort)
# The long walk keeps one processor; the other builds the tests of the program meanwhile.
cargo test --locked --quiet --lib --bins --tests --no-run >"$kit/build.log" 2>&1 &
build=$!
GUIDE_SITE=$(cd "$kit" && pwd)/site NODE_PATH=$(cd "$kit" && pwd)/node_modules node --test --test-concurrency="$(nproc)" "${scripts[@]}"
if ! wait "$build"; then
  tail -n 40 "$kit/build.log" >&2
  say "The tests do not build; the lines above are the last that cargo said."
  exit 2
fi

# The examples in the documentation first, so that the last line tells of the tests of the whole program. Blank lines
# wait until something follows them.
last_line_last() { awk 'NF { for (; n; n--) print ""; print; fflush(); next } { n++ }'; }
cargo test --locked --doc -- --quiet | last_line_last
say "Of the mutants of the demo one in forty is tried here; all of them: MUTANTS=all cargo test --test suite mutants"
cargo test --locked --lib --bins --tests | last_line_last
