/* Wrong use gives a status and words, never a crash, and hands out nothing. */
#include "holds.h"

#include <stdint.h>

/* A struct as a later version might have it: one member more at the end. */
typedef struct {
    toprail_decide_options known;
    uint64_t added;
} later_options;

typedef struct {
    toprail_duty known;
    uint64_t added;
} later_duty;

static void handles_of_another_kind_are_refused(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_facts* facts = small_facts("boom", "20 ft");
    toprail_decision* decision = (toprail_decision*)(uintptr_t)99;
    void* wrong = facts;
    HOLDS(toprail_decide(wrong, facts, some_day, NULL, &decision, NULL) == TOPRAIL_BAD_HANDLE);
    HOLDS(decision == NULL);
    HOLDS(same(toprail_last_trouble(), "the handle is of another kind"));
    wrong = shelf;
    HOLDS(toprail_decide(shelf, wrong, some_day, NULL, &decision, NULL) == TOPRAIL_BAD_HANDLE);
    toprail_duty duty = {.size = sizeof duty};
    HOLDS(toprail_duty_at(wrong, 0, &duty) == TOPRAIL_BAD_HANDLE);
    toprail_text text;
    HOLDS(toprail_buffer_text(wrong, &text) == TOPRAIL_BAD_HANDLE);
    size_t count;
    HOLDS(toprail_findings_count(wrong, &count) == TOPRAIL_BAD_HANDLE);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
}

static void closed_and_stray_handles_are_refused(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_facts* facts = small_facts("boom", "20 ft");
    toprail_decision* decision = NULL;
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_BAD_HANDLE);
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, &decision, NULL) == TOPRAIL_BAD_HANDLE);
    HOLDS(holds_text(toprail_last_trouble(), "closed"));
    /* The number of a closed handle is not given to the next one. */
    toprail_shelf* next = small_shelf();
    HOLDS(next != shelf);
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, &decision, NULL) == TOPRAIL_BAD_HANDLE);
    int mine = 0;
    void* stray = &mine;
    HOLDS(toprail_decide(stray, facts, some_day, NULL, &decision, NULL) == TOPRAIL_BAD_HANDLE);
    HOLDS(toprail_close(stray) == TOPRAIL_BAD_HANDLE);
    HOLDS(toprail_close(next) == TOPRAIL_OK);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
}

static void nulls_are_refused(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_facts* facts = small_facts("boom", "20 ft");
    toprail_decision* decision = NULL;
    HOLDS(toprail_close(NULL) == TOPRAIL_OK);
    HOLDS(toprail_decide(NULL, facts, some_day, NULL, &decision, NULL) == TOPRAIL_BAD_HANDLE);
    HOLDS(same(toprail_last_trouble(), "the handle is null"));
    HOLDS(toprail_decide(shelf, NULL, some_day, NULL, &decision, NULL) == TOPRAIL_BAD_HANDLE);
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, NULL, NULL) == TOPRAIL_BAD_ARGUMENT);
    const toprail_text broken = {NULL, 4};
    HOLDS(toprail_decide(shelf, facts, broken, NULL, &decision, NULL) == TOPRAIL_BAD_ARGUMENT);
    HOLDS(toprail_facts_set(facts, NULL, 1) == TOPRAIL_BAD_ARGUMENT);
    HOLDS(toprail_facts_set(facts, NULL, 0) == TOPRAIL_OK);
    HOLDS(toprail_facts_new(NULL, 0, NULL) == TOPRAIL_BAD_ARGUMENT);
    HOLDS(toprail_buffer_new(NULL) == TOPRAIL_BAD_ARGUMENT);
    toprail_shelf* none = shelf;
    HOLDS(toprail_shelf_from_texts(NULL, 1, NULL, &none, NULL) == TOPRAIL_BAD_ARGUMENT);
    HOLDS(none == NULL);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
    HOLDS(toprail_duty_at(NULL, 0, NULL) == TOPRAIL_BAD_HANDLE);
    HOLDS(toprail_receipt_make(NULL, NULL, some_day, NULL, some_day, NULL, NULL, NULL, NULL) ==
          (toprail_has_receipts() ? TOPRAIL_BAD_HANDLE : TOPRAIL_NOT_BUILT));
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
}

static void facts_that_fail_half_way_set_nothing(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_facts* facts = small_facts("boom", "20 ft");
    const toprail_fact entries[] = {
        {text_of("mechanism"), text_of("scissor"), text_of("")},
        {text_of("height"), {NULL, 9}, text_of("")},
    };
    HOLDS(toprail_facts_set(facts, entries, 2) == TOPRAIL_BAD_ARGUMENT);
    toprail_decision* decision = NULL;
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, &decision, NULL) == TOPRAIL_OK);
    toprail_duty duty = {.size = sizeof duty};
    HOLDS(toprail_duty_at(decision, 0, &duty) == TOPRAIL_OK && duty.outcome == TOPRAIL_REQUIRED);
    HOLDS(toprail_close(decision) == TOPRAIL_OK);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
}

static void sizes_are_held(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_facts* facts = small_facts("boom", "20 ft");
    toprail_decision* decision = NULL;
    toprail_decide_options how = {.size = 0};
    HOLDS(toprail_decide(shelf, facts, some_day, &how, &decision, NULL) == TOPRAIL_BAD_ARGUMENT);
    how.size = sizeof how - 1;
    HOLDS(toprail_decide(shelf, facts, some_day, &how, &decision, NULL) == TOPRAIL_BAD_ARGUMENT);
    how.size = SIZE_MAX;
    HOLDS(toprail_decide(shelf, facts, some_day, &how, &decision, NULL) == TOPRAIL_BAD_ARGUMENT);
    HOLDS(decision == NULL);

    later_options later = {.known = {.size = sizeof later}, .added = 1};
    HOLDS(toprail_decide(shelf, facts, some_day, &later.known, &decision, NULL) ==
          TOPRAIL_BAD_ARGUMENT);
    HOLDS(holds_text(toprail_last_trouble(), "does not know"));
    later.added = 0;
    HOLDS(toprail_decide(shelf, facts, some_day, &later.known, &decision, NULL) == TOPRAIL_OK);

    toprail_duty duty = {.size = 0};
    HOLDS(toprail_duty_at(decision, 0, &duty) == TOPRAIL_BAD_ARGUMENT);
    later_duty filled = {.known = {.size = sizeof filled}, .added = 5};
    HOLDS(toprail_duty_at(decision, 0, &filled.known) == TOPRAIL_OK);
    HOLDS(filled.added == 0 && filled.known.size == sizeof filled);
    HOLDS(filled.known.outcome == TOPRAIL_REQUIRED);
    HOLDS(toprail_close(decision) == TOPRAIL_OK);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
}

static void a_day_must_exist(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_facts* facts = small_facts("boom", "20 ft");
    toprail_decision* decision = NULL;
    const char* const days[] = {"", "2023-02-29", "1 June", "2024-06-01 "};
    for (size_t i = 0; i < sizeof days / sizeof days[0]; ++i) {
        HOLDS(toprail_decide(shelf, facts, text_of(days[i]), NULL, &decision, NULL) ==
              TOPRAIL_BAD_ARGUMENT);
        HOLDS(holds_text(toprail_last_trouble(), "2024-06-01"));
    }
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
}

static void unusable_facts_give_findings(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_facts* facts = small_facts("hovercraft", "20 stones");
    toprail_decision* decision = NULL;
    toprail_findings* findings = NULL;
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, &decision, NULL) == TOPRAIL_FINDINGS);
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, &decision, &findings) == TOPRAIL_FINDINGS);
    HOLDS(decision == NULL && findings != NULL);
    size_t count = 0;
    HOLDS(toprail_findings_count(findings, &count) == TOPRAIL_OK && count == 2);
    toprail_finding finding = {.size = sizeof finding};
    HOLDS(toprail_finding_at(findings, 0, &finding) == TOPRAIL_OK);
    HOLDS(finding.severity == TOPRAIL_ERROR && finding.code.size > 0 && finding.help.size > 0);
    HOLDS(holds_text(finding.message, "hovercraft"));
    HOLDS(toprail_finding_at(findings, 2, &finding) == TOPRAIL_NO_SUCH);
    toprail_buffer* buffer = NULL;
    toprail_text told;
    HOLDS(toprail_buffer_new(&buffer) == TOPRAIL_OK);
    HOLDS(toprail_findings_json(findings, buffer) == TOPRAIL_OK);
    HOLDS(toprail_buffer_text(buffer, &told) == TOPRAIL_OK && holds_text(told, "\"code\""));
    HOLDS(toprail_decision_text((toprail_decision*)findings, some_day, 0, buffer) ==
          TOPRAIL_BAD_HANDLE);
    HOLDS(toprail_decision_text(NULL, some_day, 3, buffer) == TOPRAIL_BAD_ARGUMENT);
    HOLDS(toprail_close(buffer) == TOPRAIL_OK);
    HOLDS(toprail_close(findings) == TOPRAIL_OK);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
}

static void unusable_packs_give_findings_with_places(void) {
    const toprail_source sources[] = {
        {text_of("small.yaml"), text_of(small_vocabulary)},
        {text_of("bad.yaml"), text_of("rulepack: bad\ntitel: Misspelt\n")},
    };
    toprail_shelf* shelf = NULL;
    toprail_findings* findings = NULL;
    HOLDS(toprail_shelf_from_texts(sources, 2, NULL, &shelf, &findings) == TOPRAIL_FINDINGS);
    HOLDS(shelf == NULL && findings != NULL);
    size_t count = 0;
    HOLDS(toprail_findings_count(findings, &count) == TOPRAIL_OK);
    int seen = 0;
    for (size_t i = 0; i < count; ++i) {
        toprail_finding finding = {.size = sizeof finding};
        HOLDS(toprail_finding_at(findings, i, &finding) == TOPRAIL_OK);
        if (holds_text(finding.message, "titel")) {
            HOLDS(same(finding.file, "bad.yaml") && finding.line == 2 && finding.column == 1);
            HOLDS(finding.length == 5 && same(finding.source_line, "titel: Misspelt"));
            seen = 1;
        }
    }
    HOLDS(seen == 1);
    HOLDS(toprail_close(findings) == TOPRAIL_OK);

    const toprail_load_options small = {.size = sizeof small, .most_bytes = 10};
    HOLDS(toprail_shelf_from_texts(sources, 1, &small, &shelf, &findings) == TOPRAIL_FINDINGS);
    HOLDS(toprail_close(findings) == TOPRAIL_OK);
    const toprail_text nowhere[] = {text_of("/no/such/folder")};
    HOLDS(toprail_shelf_from_folders(nowhere, 1, NULL, &shelf, &findings) == TOPRAIL_FINDINGS);
    HOLDS(toprail_close(findings) == TOPRAIL_OK);
}

int main(void) {
    handles_of_another_kind_are_refused();
    closed_and_stray_handles_are_refused();
    nulls_are_refused();
    facts_that_fail_half_way_set_nothing();
    sizes_are_held();
    a_day_must_exist();
    unusable_facts_give_findings();
    unusable_packs_give_findings_with_places();
    return 0;
}
