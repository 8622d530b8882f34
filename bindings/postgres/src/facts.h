/* Facts of a case from jsonb. */
#ifndef FACTS_H
#define FACTS_H

#include "shelves.h"

typedef struct FactList {
    toprail_fact* entries; /* in the current memory context */
    size_t count;
} FactList;

/* {name: string | number | boolean | null | {"value": ..., "from": string}}; raises anything else.
 * Texts point into the jsonb or into the current memory context. */
FactList read_facts(Jsonb* facts);

/* Raises what is wrong with the facts, with the place of the first one in the text of the jsonb. */
void raise_facts(const toprail_shelf* shelf, toprail_text day, Jsonb* facts, FactList list,
                 const toprail_findings* findings) pg_attribute_noreturn();

#endif
