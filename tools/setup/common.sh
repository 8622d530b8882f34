# Bash functions shared by tools/first-run, tests/run-all and .ci/run. Sourced, never run.
#
# Needs nothing but what a bare Debian has: bash, coreutils, dpkg, apt. A caller sets -euo pipefail.
# shellcheck shell=bash

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)

# A checkout built in full, with all its build folders, stays below this.
readonly least_free_mib=2048

# say TEXT: tells how far we are, on standard error.
say() {
    printf '%s\n' "toprail: $*" >&2
}

# stop TEXT: tells in one line why nothing more can be done, and ends.
stop() {
    say "$*"
    exit 1
}

# need_debian: ends unless this is Debian 12 or later, or a derivative made from it.
need_debian() {
    local ID='' VERSION_ID='' VERSION_CODENAME='' DEBIAN_CODENAME='' PRETTY_NAME='an unknown system'
    if [[ -r /etc/os-release ]]; then
        # shellcheck source=/dev/null
        . /etc/os-release
    fi
    [[ $ID == debian && ${VERSION_ID:-99} -ge 12 ]] && return
    [[ ${DEBIAN_CODENAME:-$VERSION_CODENAME} == bookworm ]] && return
    stop "set-up knows Debian 12 and this is $PRETTY_NAME;" \
        "install what tools/setup/packages lists, then use cmake --preset gcc"
}

# need_space DIR: ends unless the disk that holds DIR has room for the work.
need_space() {
    local free
    free=$(df -Pm "$1" | { read -r _; read -r _ _ _ free _; printf '%s' "$free"; })
    ((free >= least_free_mib)) ||
        stop "disk full: $free MiB free where $1 is, and $least_free_mib MiB are needed"
}

# packages_of GROUP...: the names of the packages in these groups, one a line.
packages_of() {
    local group name _
    while read -r group name _; do
        [[ " $* " == *" $group "* ]] && printf '%s\n' "$name"
    done <"$root/tools/setup/packages"
    return 0
}

# test_groups: the groups that tests/run-all needs, one a line. A machine that has Node from elsewhere
# keeps it: Debian's npm does not fit beside it.
test_groups() {
    printf '%s\n' command tests
    [[ -n $(type -P node) ]] || printf '%s\n' node
}

# missing_packages NAME...: those that are not installed, one a line. Asks only the local database.
missing_packages() {
    local name status
    for name in "$@"; do
        status=$(dpkg-query -W -f '${db:Status-Status}' "$name" 2>/dev/null) || status=''
        [[ $status == installed ]] || printf '%s\n' "$name"
    done
}

# as_root COMMAND...: runs it as root; need_root has shown that this is possible.
as_root() {
    if ((EUID == 0)); then
        "$@"
    else
        sudo "$@"
    fi
}

# need_root WHY: ends unless as_root can work. sudo may ask for a password only on a terminal.
need_root() {
    ((EUID == 0)) && return
    [[ -n $(type -P sudo) ]] || stop "$1; become root, or install sudo"
    sudo -n true 2>/dev/null || { [[ -t 0 ]] && sudo -v; } || stop "$1; sudo refuses to install them"
}

# install_packages GROUP...: installs what is missing of these groups. With nothing missing it
# touches neither network nor privileges.
install_packages() {
    need_debian
    need_space "$root"

    local wanted missing log reachable=yes
    mapfile -t wanted < <(packages_of "$@")
    mapfile -t missing < <(missing_packages "${wanted[@]}")
    ((${#missing[@]})) || return 0

    need_root "these packages are missing: ${missing[*]}"
    need_space /var/cache/apt
    log=$(mktemp)
    say "installing ${missing[*]}"
    local apt=(env DEBIAN_FRONTEND=noninteractive apt-get -q
        -o Acquire::Retries=2 -o Acquire::http::Timeout=20 -o DPkg::Lock::Timeout=300)
    # A failed update alone ends nothing: some other source may be down, or the lists still good.
    as_root "${apt[@]}" -o APT::Update::Error-Mode=any update >"$log" 2>&1 || reachable=no
    if ! as_root "${apt[@]}" install -y --no-install-recommends "${missing[@]}" >>"$log" 2>&1; then
        if [[ $reachable == no ]] || grep -q '^E: Failed to fetch' "$log"; then
            stop "the Debian package registry cannot be reached; apt's own words are in $log"
        fi
        stop "apt could not install the packages: $(grep -m 1 '^E: ' "$log" || tail -n 1 "$log")" \
            "(all of it in $log)"
    fi
    rm -f "$log"
}
