/* Plans: every kind of column comes to what toprail_decide says of the same case; wrong columns. */
#include "holds.h"

#include <math.h>

enum { cases = 6 };

static const char* const mechanisms[cases] = {"boom",      "scissor", "scissor",
                                              "not known", "boom",    "scissor"};
static const char* const heights[cases] = {"20 ft",     "3 ft",  "3.9 ft",
                                           "not known", "499 ft", "4 ft"};

static toprail_plan* small_plan(const toprail_shelf* shelf) {
    toprail_plan* plan = NULL;
    toprail_findings* findings = NULL;
    HOLDS(toprail_plan_new(shelf, some_day, NULL, &plan, &findings) == TOPRAIL_OK);
    HOLDS(plan != NULL && findings == NULL);
    return plan;
}

static toprail_outcome one_by_one(const toprail_shelf* shelf, const char* mechanism,
                                  const char* height) {
    toprail_facts* facts = small_facts(mechanism, height);
    toprail_decision* decision = NULL;
    toprail_duty duty = {.size = sizeof duty};
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, &decision, NULL) == TOPRAIL_OK);
    HOLDS(toprail_duty_named(decision, text_of("tie-off"), &duty) == TOPRAIL_OK);
    const toprail_outcome outcome = duty.outcome;
    HOLDS(toprail_close(decision) == TOPRAIL_OK && toprail_close(facts) == TOPRAIL_OK);
    return outcome;
}

static void every_kind_comes_to_the_same(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_plan* plan = small_plan(shelf);
    uint8_t classes[cases];
    toprail_text values[cases];
    for (size_t i = 0; i < cases; ++i) {
        values[i] = text_of(mechanisms[i]);
        HOLDS(toprail_plan_class_of(plan, text_of("mechanism"), values[i], &classes[i]) ==
              TOPRAIL_OK);
    }
    HOLDS(classes[3] == TOPRAIL_CLASS_NOT_KNOWN && classes[0] != classes[1]);
    const int8_t codes[cases] = {1, 0, 0, -1, 1, 0};
    const toprail_text of_codes[] = {text_of("scissor"), text_of("boom")};
    const toprail_column first[] = {
        {.fact = text_of("mechanism"), .values = classes, .kind = TOPRAIL_CLASSES},
        {.fact = text_of("mechanism"), .values = values, .kind = TOPRAIL_VALUES},
        {.fact = text_of("mechanism"),
         .values = codes,
         .texts = {of_codes, 2},
         .kind = TOPRAIL_CODES},
    };
    const int64_t tenths[cases] = {200, 30, 39, TOPRAIL_NUMBER_NOT_KNOWN, 4990, 40};
    int64_t inches[cases];
    const double reals[cases] = {20, 3, 3.9, (double)NAN, 499, 4};
    toprail_text texts[cases];
    for (size_t i = 0; i < cases; ++i) {
        texts[i] = text_of(heights[i]);
        inches[i] = i == 3 ? tenths[i] : tenths[i] * 12 / 10;
    }
    const toprail_column second[] = {
        {.fact = text_of("height"),
         .values = inches,
         .unit = text_of("in"),
         .kind = TOPRAIL_NUMBERS},
        {.fact = text_of("height"), .values = reals, .unit = text_of("ft"), .kind = TOPRAIL_REALS},
        {.fact = text_of("height"), .values = texts, .kind = TOPRAIL_VALUES},
    };
    for (size_t a = 0; a < 3; ++a) {
        for (size_t b = 0; b < 3; ++b) {
            const toprail_column columns[] = {first[a], second[b]};
            uint8_t outcomes[cases];
            memset(outcomes, 77, sizeof outcomes);
            toprail_bulk_report report = {.size = sizeof report};
            HOLDS(toprail_plan_decide(plan, columns, 2, cases, NULL, outcomes, sizeof outcomes,
                                      &report) == TOPRAIL_OK);
            HOLDS(report.no_answer == 0);
            for (size_t i = 0; i < cases; ++i) {
                HOLDS(outcomes[i] == one_by_one(shelf, mechanisms[i], heights[i]));
            }
            HOLDS(outcomes[0] == TOPRAIL_REQUIRED && outcomes[1] == TOPRAIL_NOT_REQUIRED);
            HOLDS(outcomes[3] == TOPRAIL_UNDETERMINED);
        }
    }
    HOLDS(toprail_close(plan) == TOPRAIL_OK && toprail_close(shelf) == TOPRAIL_OK);
}

static void a_plan_says_what_it_is(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_plan* plan = small_plan(shelf);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
    toprail_plan_sizes sizes = {.size = sizeof sizes};
    HOLDS(toprail_plan_count(plan, &sizes) == TOPRAIL_OK && sizes.facts >= 3 && sizes.duties == 1);
    toprail_plan_fact fact = {.size = sizeof fact};
    int used = 0;
    for (size_t i = 0; i < sizes.facts; ++i) {
        HOLDS(toprail_plan_fact_at(plan, i, &fact) == TOPRAIL_OK);
        used += same(fact.fact, "height") && fact.used && fact.classes == 2;
    }
    HOLDS(used == 1);
    HOLDS(toprail_plan_fact_at(plan, sizes.facts, &fact) == TOPRAIL_NO_SUCH);
    toprail_text duty;
    HOLDS(toprail_plan_duty_at(plan, 0, &duty) == TOPRAIL_OK && same(duty, "tie-off"));
    HOLDS(toprail_plan_duty_at(plan, 1, &duty) == TOPRAIL_NO_SUCH);
    HOLDS(toprail_plan_duty_at(plan, 0, NULL) == TOPRAIL_BAD_ARGUMENT);
    uint8_t byte;
    HOLDS(toprail_plan_class_of(plan, text_of("hight"), text_of("1 ft"), &byte) == TOPRAIL_NO_SUCH);
    HOLDS(toprail_plan_class_of(plan, text_of("height"), text_of("1 stone"), &byte) ==
          TOPRAIL_BAD_ARGUMENT);
    HOLDS(toprail_close(plan) == TOPRAIL_OK);
    HOLDS(toprail_plan_count(plan, &sizes) == TOPRAIL_BAD_HANDLE);
}

static void wrong_columns_are_refused(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_plan* plan = small_plan(shelf);
    const double reals[3] = {1, 2, (double)INFINITY};
    const int8_t codes[3] = {0, 1, 2};
    const toprail_text texts[] = {text_of("boom"), text_of("hovercraft")};
    uint8_t outcomes[3];
    const toprail_column fine = {.fact = text_of("height"),
                                 .values = reals,
                                 .unit = text_of("ft"),
                                 .kind = TOPRAIL_REALS};
    const toprail_column coded = {
        .fact = text_of("mechanism"), .values = codes, .texts = {texts, 2}, .kind = TOPRAIL_CODES};
    toprail_bulk_report report = {.size = sizeof report};
    const toprail_column both[] = {fine, coded};
    /* A code without text, a text that cannot be read, a height beyond all: no answer, alone. */
    HOLDS(toprail_plan_decide(plan, both, 2, 3, NULL, outcomes, 3, &report) == TOPRAIL_OK);
    HOLDS(outcomes[0] != TOPRAIL_NO_ANSWER && outcomes[1] == TOPRAIL_NO_ANSWER);
    HOLDS(outcomes[2] == TOPRAIL_NO_ANSWER && report.no_answer == 2);

    const toprail_column twice[] = {fine, fine};
    HOLDS(toprail_plan_decide(plan, twice, 2, 3, NULL, outcomes, 3, NULL) == TOPRAIL_BAD_ARGUMENT);
    toprail_column wrong = fine;
    wrong.unit = text_of("stones");
    HOLDS(toprail_plan_decide(plan, &wrong, 1, 3, NULL, outcomes, 3, NULL) == TOPRAIL_BAD_ARGUMENT);
    HOLDS(holds_text(toprail_last_trouble(), "stones"));
    wrong = fine;
    wrong.kind = 99;
    HOLDS(toprail_plan_decide(plan, &wrong, 1, 3, NULL, outcomes, 3, NULL) == TOPRAIL_BAD_ARGUMENT);
    wrong = fine;
    wrong.values = NULL;
    HOLDS(toprail_plan_decide(plan, &wrong, 1, 3, NULL, outcomes, 3, NULL) == TOPRAIL_BAD_ARGUMENT);
    wrong.values = (const char*)reals + 1;
    HOLDS(toprail_plan_decide(plan, &wrong, 1, 2, NULL, outcomes, 2, NULL) == TOPRAIL_BAD_ARGUMENT);
    wrong = fine;
    wrong.fact = text_of("hight");
    HOLDS(toprail_plan_decide(plan, &wrong, 1, 3, NULL, outcomes, 3, NULL) == TOPRAIL_NO_SUCH);
    HOLDS(toprail_plan_decide(plan, &fine, 1, 3, NULL, outcomes, 2, NULL) == TOPRAIL_BAD_ARGUMENT);
    HOLDS(toprail_plan_decide(plan, &fine, 1, 3, NULL, NULL, 3, NULL) == TOPRAIL_BAD_ARGUMENT);
    HOLDS(toprail_plan_decide(plan, &fine, 1, SIZE_MAX, NULL, outcomes, 3, NULL) ==
          TOPRAIL_BAD_ARGUMENT);
    HOLDS(toprail_plan_decide(plan, NULL, 1, 3, NULL, outcomes, 3, NULL) == TOPRAIL_BAD_ARGUMENT);
    HOLDS(toprail_plan_decide((toprail_plan*)shelf, &fine, 1, 3, NULL, outcomes, 3, NULL) ==
          TOPRAIL_BAD_HANDLE);
    report.size = 1;
    HOLDS(toprail_plan_decide(plan, &fine, 1, 3, NULL, outcomes, 3, &report) ==
          TOPRAIL_BAD_ARGUMENT);
    HOLDS(toprail_plan_decide(plan, NULL, 0, 0, NULL, NULL, 0, NULL) == TOPRAIL_OK);

    const toprail_text nowhere = text_of("no-such-duty");
    const toprail_plan_options how = {.size = sizeof how, .duties = {&nowhere, 1}};
    toprail_plan* none = NULL;
    toprail_findings* findings = NULL;
    HOLDS(toprail_plan_new(shelf, some_day, &how, &none, &findings) == TOPRAIL_FINDINGS);
    HOLDS(none == NULL && findings != NULL && toprail_close(findings) == TOPRAIL_OK);
    HOLDS(toprail_plan_new(NULL, some_day, NULL, &none, NULL) == TOPRAIL_BAD_HANDLE);
    HOLDS(toprail_plan_new(shelf, text_of("tomorrow"), NULL, &none, NULL) == TOPRAIL_BAD_ARGUMENT);
    HOLDS(toprail_close(plan) == TOPRAIL_OK && toprail_close(shelf) == TOPRAIL_OK);
}

int main(void) {
    if (!toprail_has_plans()) {
        toprail_shelf* shelf = small_shelf();
        toprail_plan* plan = NULL;
        HOLDS(toprail_plan_new(shelf, some_day, NULL, &plan, NULL) == TOPRAIL_NOT_BUILT);
        HOLDS(toprail_close(shelf) == TOPRAIL_OK);
        return 0;
    }
    every_kind_comes_to_the_same();
    a_plan_says_what_it_is();
    wrong_columns_are_refused();
    return 0;
}
