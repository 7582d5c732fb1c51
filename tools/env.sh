# shellcheck shell=bash
# Sourced by the other scripts here: where things are kept, which versions, which Rust.

set -euo pipefail

: "${HOME:=$(cd ~ && pwd)}"
export HOME

ROOT=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
CACHE=${LETTERTALLY_CACHE:-$HOME/.cache/lettertally}

# One target folder for all clones: a second clone finds the dependencies built.
export CARGO_TARGET_DIR=${CARGO_TARGET_DIR:-$CACHE/target}

TRUNK_VERSION=0.21.14
BINARYEN_VERSION=132   # also in Trunk.toml, as version_132
GECKODRIVER_VERSION=0.36.0
AXE_VERSION=4.14.1
CARGO_DENY_VERSION=0.20.2
LIGHTHOUSE_VERSION=12.2.3
WASM=wasm32-unknown-unknown

# wasm-bindgen's tool must be exactly as new as the library: the lock file has the word.
WASM_BINDGEN_VERSION=$(sed -n '/^name = "wasm-bindgen"$/{n;s/^version = "\(.*\)"$/\1/p;}' "$ROOT/Cargo.lock")
RUST_MINIMUM=$(sed -n 's/^rust-version = "\(.*\)"$/\1/p' "$ROOT/Cargo.toml")

TRUNK_DIR=$CACHE/tools/trunk-$TRUNK_VERSION
WASM_BINDGEN_DIR=$CACHE/tools/wasm-bindgen-$WASM_BINDGEN_VERSION
BINARYEN_DIR=$CACHE/npm/binaryen-$BINARYEN_VERSION
GECKODRIVER_DIR=$CACHE/tools/geckodriver-$GECKODRIVER_VERSION
AXE_DIR=$CACHE/npm/axe-core-$AXE_VERSION
CARGO_DENY_DIR=$CACHE/tools/cargo-deny-$CARGO_DENY_VERSION
LIGHTHOUSE_DIR=$CACHE/npm/lighthouse-$LIGHTHOUSE_VERSION
DEBIAN_RUST_DIR=$CACHE/debian-rust

# The browsers that the tests run in, out of chromium, firefox and webkit.
ENGINES=${LETTERTALLY_ENGINES:-chromium}

# geckodriver, which steers Firefox, where it was built here.
PATH=$GECKODRIVER_DIR/bin:$PATH

# A fresh rustup is often not yet on the PATH of the shell that is open.
PATH=$PATH:${CARGO_HOME:-$HOME/.cargo}/bin
export PATH

say() { printf '%s: %s\n' "${0##*/}" "$*"; }
die() { printf '%s: %s\n' "${0##*/}" "$*" >&2; exit 1; }
have() { command -v "$1" >/dev/null 2>&1; }

# seconds as a person reads them
took() { if (($1 < 60)); then echo "$1 s"; else echo "$(($1 / 60)) min $(($1 % 60)) s"; fi; }

# lock NAME FOLDER: one at a time on this machine; held until the script that took it ends.
# A script called by one that holds the lock goes on; other children get no hold of it (8>&-),
# or a browser left behind would keep it.
lock() {
    [[ " ${LETTERTALLY_LOCKS:-} " != *" $1 "* ]] && have flock || return 0
    mkdir -p "$2"
    exec 8>"$2/lettertally-$1.lock"
    flock -n 8 || { say "waiting for another $1 on this machine to finish"; flock 8; }
    export LETTERTALLY_LOCKS="${LETTERTALLY_LOCKS:-} $1"
}

# recent_enough COMMAND...: does `COMMAND --version` tell the version Cargo.toml asks for, or newer?
recent_enough() {
    local found
    found=$("$@" --version 2>/dev/null | sed -n '1s/^[a-z]* \([0-9.]*\).*/\1/p') || return 1
    [[ -n $found ]] && printf '%s\n' "$RUST_MINIMUM" "$found" | sort -CV
}

# makes_wasm RUSTC: the truest question is a small program, built as the page is: it needs the
# target's library, of that rustc and fit for link-time optimisation, and a linker.
makes_wasm() {
    local dir status=0
    have "$1" || return 1
    dir=$(mktemp -d)
    echo 'fn main() {}' | "$1" --target "$WASM" -C lto=fat -C panic=abort --crate-name probe \
        -o "$dir/probe.wasm" - >/dev/null 2>&1 || status=1
    rm -rf "$dir"
    return "$status"
}

# The Rust for everything native. An old default toolchain stays as it is; we only step past it.
use_rust() {
    recent_enough cargo && return 0
    if have rustup && recent_enough rustup run stable cargo; then
        export RUSTUP_TOOLCHAIN=stable
    elif recent_enough /usr/bin/cargo; then
        use_debian_rust
    else
        return 1
    fi
}

# Debian's cargo and rustc, whatever stands before them on the PATH.
use_debian_rust() {
    mkdir -p "$DEBIAN_RUST_DIR"
    ln -sf /usr/bin/cargo /usr/bin/rustc /usr/bin/rustdoc "$DEBIAN_RUST_DIR/"
    unset RUSTC CARGO RUSTUP_TOOLCHAIN
    export PATH=$DEBIAN_RUST_DIR:$PATH
}

# The Rust for the page: the ordinary one if it knows the wasm target, else Debian's pair.
# LETTERTALLY_NO_RUSTUP=1 goes straight to Debian's pair.
use_wasm_rust() {
    if [[ -z ${LETTERTALLY_NO_RUSTUP:-} ]] && use_rust && makes_wasm rustc; then
        return 0
    fi
    makes_wasm /usr/bin/rustc || return 1
    use_debian_rust
    # a folder of its own: a rustup toolchain's clippy and this pair would overwrite each other's page
    export CARGO_TARGET_DIR=$CARGO_TARGET_DIR/debian-rust
}

# Where the standard library's source is at hand, the page gets one made for size, whose panics
# stop without words that nobody would see: a sixth of the download less. Both are settings that
# stable Rust keeps back, hence RUSTC_BOOTSTRAP, here and nowhere near the core's own tests.
# LETTERTALLY_PLAIN_STD=1 takes the library as it comes.
use_small_std() {
    [[ -z ${LETTERTALLY_PLAIN_STD:-} && $PATH != "$DEBIAN_RUST_DIR"* ]] || return 0
    has_std_source && knows_small_std || return 0
    export RUSTC_BOOTSTRAP=1
    export CARGO_UNSTABLE_BUILD_STD=std,panic_abort CARGO_UNSTABLE_BUILD_STD_FEATURES=optimize_for_size
    # these take the place of those in .cargo/config.toml
    export RUSTFLAGS="--cfg erase_components -Zunstable-options -Cpanic=immediate-abort"
}

has_std_source() { [[ -e $(rustc --print sysroot)/lib/rustlib/src/rust/library/Cargo.lock ]]; }

knows_small_std() {
    RUSTC_BOOTSTRAP=1 rustc -Zunstable-options -Cpanic=immediate-abort --target "$WASM" --print cfg >/dev/null 2>&1
}

# trunk, wasm-bindgen and wasm-opt for this process. Without Binaryen a stand-in copies the
# wasm file as it is, since Trunk cannot be told on its command line to leave wasm-opt out.
use_page_tools() {
    PATH=$TRUNK_DIR/bin:$WASM_BINDGEN_DIR/bin:$PATH
    if has_wasm_opt; then
        PATH=$BINARYEN_DIR/node_modules/.bin:$PATH
    else
        PATH=$ROOT/tools/no-wasm-opt:$PATH
    fi
    export PATH
}

has_wasm_opt() {
    [[ -z ${LETTERTALLY_NO_WASM_OPT:-} ]] || return 1
    [[ -x $BINARYEN_DIR/node_modules/.bin/wasm-opt ]] && have node && return 0
    have wasm-opt && [[ $(wasm-opt --version) == *" version $BINARYEN_VERSION"* ]]
}

# Cargo tells a changed source by its time alone, and names this package the same in every
# clone: in a shared target folder it would take another clone's newer build for ours.
# So when another clone built last, our crates' roots are made newer than what it built.
# (Plain cargo in two clones with one target folder has no such guard.)
claim_target() {
    mkdir -p "$CARGO_TARGET_DIR"
    local owner=$CARGO_TARGET_DIR/lettertally-clone
    if [[ ! -e $owner || $(<"$owner") != "$ROOT" ]]; then
        touch -c "$ROOT"/src/{lib,main}.rs "$ROOT"/tests/*.rs "$ROOT"/tests/{browser,fuzz}/src/*.rs "$ROOT"/tests/browser/tests/*.rs
        echo "$ROOT" >"$owner"
    fi
}

# has_engine NAME: is there that browser, and what steers it?
has_engine() {
    case $1 in
        chromium) { have chromium || have chromium-browser || have google-chrome; } && have chromedriver ;;
        firefox) { have firefox || have firefox-esr; } && have geckodriver ;;
        webkit) have WebKitWebDriver && have Xvfb ;;
        *) die "unknown browser '$1': chromium, firefox or webkit" ;;
    esac
}

has_axe() { [[ -r $AXE_DIR/node_modules/axe-core/axe.min.js ]]; }
