# Shared by demo and test: installs what is missing on Debian, says what to do elsewhere, builds.

say() { printf '%s\n' "$*" >&2; }

# The folder that holds the project.
project=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)

# install_missing PACKAGE...: only what is not there, so that a second run needs no network.
install_missing() {
    local missing=() package
    if ! command -v dpkg-query >/dev/null 2>&1; then
        say "This is not a Debian system. Install the equivalents of: $*"
        say "and then run:"
        say "  cmake -S . -B build -DSTILLWATT_TESTS=$tests"
        say "  cmake --build build"
        exit 4
    fi
    for package in "$@"; do
        dpkg-query -W -f='${db:Status-Status}\n' "$package" 2>/dev/null | grep -qx installed || missing+=("$package")
    done
    [ ${#missing[@]} -eq 0 ] && return
    local as_root=()
    if [ "$(id -u)" -ne 0 ]; then
        if ! command -v sudo >/dev/null 2>&1; then
            say "Missing packages: ${missing[*]}. Install them as root: apt-get install ${missing[*]}"
            exit 4
        fi
        as_root=(sudo)
    fi
    say "Installing: ${missing[*]}"
    "${as_root[@]}" apt-get update -qq
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}

# build FOLDER CMAKE-OPTION...: configures and builds, quietly unless something goes wrong; then returns 1.
build() {
    local folder=$1 log
    shift
    log=$(mktemp)
    if ! { cmake -S "$project" -B "$folder" "$@" && cmake --build "$folder" -j "$(nproc)"; } >"$log" 2>&1; then
        cat "$log" >&2
        rm -f "$log"
        say "The build in ${folder##*/} failed."
        return 1
    fi
    rm -f "$log"
}
