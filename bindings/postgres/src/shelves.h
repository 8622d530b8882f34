/* Shelves of one backend, by the set of packs that they were loaded from. */
#ifndef SHELVES_H
#define SHELVES_H

#include "postgres.h"

#include "fmgr.h"
#include "toprail.h"
#include "utils/jsonb.h"

typedef struct Shelf {
    toprail_shelf* shelf;
    toprail_receipt_maker* maker; /* NULL where the library has no receipts */
} Shelf;

/* The shelf of the set of packs in an argument: {"texts": {name: text, ...}}, or {"folders": [path, ...]} unless it
 * is to be pinned. Stays until the backend ends or other sets have pushed it out; a caller must not
 * hold it beyond one call. Folders are read again at each statement. */
Shelf shelf_of_argument(FunctionCallInfo fcinfo, int number, bool pinned);

/* Raises what the library said of a call that failed. `what` begins the message. */
void raise_trouble(toprail_status status, const char* what) pg_attribute_noreturn();

/* Raises the first error of the findings; the others stand in its detail. The caller closes them. Where the
 * finding has no place of its own, `within` and `position` (in characters, from 1) are the place;
 * `within` may be NULL. */
void raise_findings(const char* what, const toprail_findings* findings, const char* within,
                    int position) pg_attribute_noreturn();

/* The text of a value that jsonb or the library holds. */
static inline toprail_text text_of(const char* data, int size) {
    toprail_text text = {data, (size_t)size};
    return text;
}

static inline char* string_of(toprail_text text) {
    return text.size == 0 ? pstrdup("") : pnstrdup(text.data, text.size);
}

#endif
