# Bash functions shared by .ci/run and .ci/thorough. Sourced, never run; wants tools/setup/common.sh.
# shellcheck shell=bash

# stage TITLE COMMAND...: a heading, the command, and how long it took. Its failure ends the run.
stage() {
    local title=$1 begin=$SECONDS
    shift
    printf '\n== %s\n' "$title"
    "$@"
    printf '== %s: %d s\n' "$title" $((SECONDS - begin))
}

# make_and_test PRESET
make_and_test() {
    cmake --preset "$1"
    cmake --build --preset "$1"
    ctest --preset "$1" --no-tests=error -j2
}

# layout: whether clang-format has nothing to change.
layout() {
    # Named safe for this one call: the checkout may belong to another user than the CI's.
    git -c safe.directory="$root" ls-files -z -- '*.cpp' '*.hpp' |
        xargs -0 -r clang-format-14 --dry-run -Werror
}

# tidy PRESET: clang-tidy, with the compile commands of a preset that was made. Prints what it finds.
tidy() {
    run-clang-tidy-14 -quiet -j2 -p "build-$1" "^$root/(lib/src|tools|bindings/c/src)/" |
        sed '/^clang-tidy-14 /d; /warnings generated/d'
}
