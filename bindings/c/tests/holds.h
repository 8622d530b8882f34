/* What the tests share: a check that names its line, and a small shelf. */
#ifndef HOLDS_H
#define HOLDS_H

#include "toprail.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define HOLDS(condition)                                                                           \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            fprintf(stderr, "%s:%d: does not hold: %s\n  last trouble: %.*s\n", __FILE__,          \
                    __LINE__, #condition, (int)toprail_last_trouble().size,                        \
                    toprail_last_trouble().data);                                                  \
            exit(1);                                                                               \
        }                                                                                          \
    } while (0)

static inline toprail_text text_of(const char* zero_ended) {
    toprail_text text = {zero_ended, strlen(zero_ended)};
    return text;
}

static inline int same(toprail_text text, const char* expected) {
    return text.size == strlen(expected) && memcmp(text.data, expected, text.size) == 0;
}

static inline int holds_text(toprail_text text, const char* part) {
    const size_t length = strlen(part);
    for (size_t i = 0; i + length <= text.size; ++i) {
        if (memcmp(text.data + i, part, length) == 0) {
            return 1;
        }
    }
    return 0;
}

static const char small_vocabulary[] =
    "vocabulary: small\n"
    "title: A few words\n"
    "standings:\n"
    "  regulation: {rank: 2, may: [require, relax, limit, explain]}\n"
    "facts:\n"
    "  mechanism: {type: choice, values: [boom, scissor], reads: the mechanism, ask: \"What?\", "
    "why: w}\n"
    "  tied-off: {type: yes-no, plan: yes, reads: the person is tied off, ask: \"Tied?\", why: w}\n"
    "  height: {type: length, unit: ft, from: 0 ft, to: 500 ft, reads: the height, ask: \"How "
    "high?\", "
    "why: w}\n"
    "choices:\n"
    "  means: {values: [restraint, arrest], reads: the means, ask: \"Which means?\", why: w}\n"
    "duties:\n"
    "  tie-off: {asks: \"Must the person be tied off?\", reads: tie-off, met-by: tied-off}\n"
    "quantities:\n"
    "  twice: {kind: length, unit: ft, reads: twice the height, equals: height + height}\n";

static const char small_pack[] =
    "rulepack: yard\n"
    "title: Rules of the yard\n"
    "format: 1\n"
    "vocabulary: small\n"
    "standing: regulation\n"
    "edition: {from: 2000-01-01, verified-through: 2030-01-01, picked-by: work-date}\n"
    "provisions:\n"
    "  - {id: boom, cite: Yard 1, source: read, gist: Tie off in a boom., duty: tie-off, "
    "calls-for: required, where: mechanism is boom}\n"
    "  - {id: low, cite: Yard 2, source: read, gist: None below four feet., duty: tie-off, "
    "calls-for: not required, where: height is less than 4 ft}\n"
    "  - {id: no-arrest, cite: Yard 3, source: read, gist: No arrest when low., choice: means, "
    "bars: [arrest], where: height is less than 4 ft}\n"
    "  - {id: reach, cite: Yard 4, source: read, gist: At most thirty., limit: twice, "
    "at-most: 30 ft}\n";

static inline toprail_shelf* small_shelf(void) {
    const toprail_source sources[] = {
        {text_of("small.yaml"), text_of(small_vocabulary)},
        {text_of("yard.yaml"), text_of(small_pack)},
    };
    toprail_shelf* shelf = NULL;
    toprail_findings* findings = NULL;
    const toprail_status status = toprail_shelf_from_texts(sources, 2, NULL, &shelf, &findings);
    if (status != TOPRAIL_OK) {
        toprail_buffer* buffer = NULL;
        toprail_text told;
        HOLDS(toprail_buffer_new(&buffer) == TOPRAIL_OK);
        HOLDS(toprail_findings_text(findings, buffer) == TOPRAIL_OK);
        HOLDS(toprail_buffer_text(buffer, &told) == TOPRAIL_OK);
        fprintf(stderr, "%.*s", (int)told.size, told.data);
    }
    HOLDS(status == TOPRAIL_OK);
    HOLDS(toprail_close(findings) == TOPRAIL_OK);
    return shelf;
}

static inline toprail_facts* small_facts(const char* mechanism, const char* height) {
    const toprail_fact entries[] = {
        {text_of("mechanism"), text_of(mechanism), text_of("")},
        {text_of("height"), text_of(height), text_of("tape measure")},
    };
    toprail_facts* facts = NULL;
    HOLDS(toprail_facts_new(entries, 2, &facts) == TOPRAIL_OK);
    return facts;
}

static const toprail_text some_day = {"2024-06-01", 10};

#endif
