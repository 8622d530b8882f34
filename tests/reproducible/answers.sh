# Sourced by the scripts beside it: what every build has to say alike.
# shellcheck shell=bash

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
: "${SINGLE:=200000}" "${BULK:=2000000}"

# make_receipts INTO COMMAND...: receipts of many cases, in one file.
make_receipts() {
    local into=$1 folder
    shift
    folder=$(mktemp -d)
    python3 "$root/tests/reproducible/receipts.py" --keep "$folder" "$@"
    cat "$folder"/*.receipts >"$into"
    rm -r "$folder"
}

# answers BUILD RECEIPTS [EMULATOR WORD...]: ends with an error when a receipt does not replay to the
# same bytes, or a digest of bulk differs with the vectors; prints the digests.
answers() {
    local build=$1 receipts=$2 vectors told plain=
    shift 2
    "$@" "$build/toprail" replay "$root"/tests/golden/{plain,seeded}-*.receipts \
        --packs "$root/tests/golden/packs" || return 1
    "$@" "$build/toprail" replay "$receipts" --packs "$root/rulepacks" \
        --packs "$root/rulepacks/templates" || return 1
    for vectors in portable avx2 avx512; do
        told=$("$@" "$build/tests/soak/toprail-soak" 100 "$SINGLE" "$BULK" 1 "$vectors") || return 1
        # A processor that lacks them answers with the widest that it has.
        if grep -q "^vectors: $vectors$" <<<"$told"; then
            echo "with $vectors:"
            grep digest <<<"$told"
            told=$(grep digest <<<"$told")
            if [ "${plain:=$told}" != "$told" ]; then
                echo "the answers differ with $vectors"
                return 1
            fi
        else
            echo "no $vectors here"
        fi
    done
}
