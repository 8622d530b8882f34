/* Makes receipts through the C interface, for run.py: through_c FOLDER < SCRIPT.
 *
 * The script is a sequence of texts, each ended by a zero byte:
 *   fact NAME VALUE FROM / authority ID / decide DAY CASE
 * Every "decide" writes a line, the receipt or the codes of the findings, and starts a new case. */
#include "toprail.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { most = 4 << 20, most_authorities = 16 };

static char script[most];
static const char *next_part = script;

static toprail_text part(void) {
    const toprail_text text = {next_part, strlen(next_part)};
    next_part += text.size + 1;
    return text;
}

static void hold(int condition, const char *what) {
    if (!condition) {
        const toprail_text trouble = toprail_last_trouble();
        fprintf(stderr, "%s: %.*s\n", what, (int)trouble.size, trouble.data);
        exit(1);
    }
}

static void put_codes(toprail_findings *findings) {
    size_t count = 0;
    hold(toprail_findings_count(findings, &count) == TOPRAIL_OK, "findings");
    for (size_t i = 0; i < count; ++i) {
        toprail_finding finding = {.size = sizeof finding};
        hold(toprail_finding_at(findings, i, &finding) == TOPRAIL_OK, "finding");
        printf("%s%.*s", i ? " " : "", (int)finding.code.size, finding.code.data);
    }
}

int main(int argc, char **argv) {
    hold(argc == 2, "one folder");
    const toprail_text folder = {argv[1], strlen(argv[1])};
    toprail_shelf *shelf;
    toprail_receipt_maker *maker;
    toprail_facts *facts;
    toprail_buffer *buffer;
    hold(toprail_shelf_from_folders(&folder, 1, NULL, &shelf, NULL) == TOPRAIL_OK, "shelf");
    hold(toprail_receipt_maker_new(shelf, &maker) == TOPRAIL_OK, "maker");
    hold(toprail_buffer_new(&buffer) == TOPRAIL_OK, "buffer");
    hold(toprail_facts_new(NULL, 0, &facts) == TOPRAIL_OK, "facts");
    const size_t size = fread(script, 1, most - 1, stdin);
    hold(feof(stdin), "the script is too long");
    toprail_text authorities[most_authorities];
    size_t named = 0;
    while (next_part < script + size) {
        const toprail_text word = part();
        if (strcmp(word.data, "fact") == 0) {
            toprail_fact fact;
            fact.name = part();
            fact.value = part();
            fact.from = part();
            hold(toprail_facts_set(facts, &fact, 1) == TOPRAIL_OK, "fact");
        } else if (strcmp(word.data, "authority") == 0) {
            hold(named < most_authorities, "too many authorities");
            authorities[named++] = part();
        } else {
            hold(strcmp(word.data, "decide") == 0, "fact, authority or decide");
            const toprail_decide_options how = {.size = sizeof how,
                                                .authorities = {authorities, named}};
            const toprail_text day = part();
            const toprail_text case_name = part();
            toprail_findings *findings;
            toprail_text receipt;
            const toprail_status status = toprail_receipt_make(maker, facts, day, &how, case_name,
                                                               NULL, buffer, NULL, &findings);
            hold(status == TOPRAIL_OK || status == TOPRAIL_FINDINGS, "receipt");
            hold(toprail_buffer_text(buffer, &receipt) == TOPRAIL_OK, "text");
            fwrite(receipt.data, 1, receipt.size, stdout);
            if (status == TOPRAIL_FINDINGS) {
                put_codes(findings);
            }
            putchar('\n');
            toprail_close(findings);
            toprail_close(facts);
            toprail_buffer_clear(buffer);
            named = 0;
            hold(toprail_facts_new(NULL, 0, &facts) == TOPRAIL_OK, "facts");
        }
    }
    toprail_close(facts);
    toprail_close(buffer);
    toprail_close(maker);
    toprail_close(shelf);
    return 0;
}
