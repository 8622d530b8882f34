/* Right use of every function: a shelf from folders and from texts, facts, one decision, all that
 * can be read of it, receipts. */
#include "holds.h"

#include <stdint.h>

static toprail_text written(toprail_buffer* buffer) {
    toprail_text text;
    HOLDS(toprail_buffer_text(buffer, &text) == TOPRAIL_OK);
    return text;
}

static void the_library_says_what_it_is(void) {
    HOLDS(toprail_abi() == TOPRAIL_ABI);
    HOLDS(toprail_version().size >= 5);
    HOLDS(same(toprail_status_word(TOPRAIL_BAD_HANDLE), "bad-handle"));
    HOLDS(same(toprail_status_word(99), "unknown"));
    HOLDS(same(toprail_status_word(-1), "unknown"));
    HOLDS(same(toprail_outcome_word(TOPRAIL_REQUIRED_WITH_EXCEPTION), "required with exception"));
    HOLDS(same(toprail_outcome_word(77), ""));
}

static void a_decision_is_read_entry_by_entry(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_facts* facts = small_facts("boom", "20 ft");
    toprail_decision* decision = NULL;
    toprail_findings* findings = NULL;
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, &decision, &findings) == TOPRAIL_OK);
    HOLDS(findings == NULL);
    /* A decision needs neither what it was made with nor from. */
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);

    toprail_decision_sizes sizes = {.size = sizeof sizes};
    HOLDS(toprail_decision_count(decision, &sizes) == TOPRAIL_OK);
    HOLDS(sizes.duties == 1 && sizes.choices == 1 && sizes.limits == 1 && sizes.steps == 4);
    HOLDS(sizes.undetermined == 0);

    toprail_duty duty = {.size = sizeof duty};
    HOLDS(toprail_duty_at(decision, 0, &duty) == TOPRAIL_OK);
    HOLDS(same(duty.duty, "tie-off") && same(duty.asks, "Must the person be tied off?"));
    HOLDS(duty.outcome == TOPRAIL_REQUIRED && duty.act_as_if == TOPRAIL_REQUIRED);
    HOLDS(duty.possible == 1U << TOPRAIL_REQUIRED && duty.exact == 1);
    HOLDS(duty.provisions.count == 1 && same(duty.provisions.items[0], "yard/boom"));
    HOLDS(duty.settled_by.count == 0);
    toprail_duty again = {.size = sizeof again};
    HOLDS(toprail_duty_named(decision, text_of("tie-off"), &again) == TOPRAIL_OK);
    HOLDS(again.outcome == duty.outcome && again.provisions.items == duty.provisions.items);
    HOLDS(toprail_duty_named(decision, text_of("vest"), &again) == TOPRAIL_NO_SUCH);

    toprail_choice choice = {.size = sizeof choice};
    HOLDS(toprail_choice_at(decision, 0, &choice) == TOPRAIL_OK);
    HOLDS(same(choice.choice, "means") && choice.admissible.count == 2 && choice.barred.count == 0);

    toprail_limit limit = {.size = sizeof limit};
    HOLDS(toprail_limit_at(decision, 0, &limit) == TOPRAIL_OK);
    HOLDS(same(limit.quantity, "twice") && same(limit.value, "40 ft") && limit.bound_count == 1);
    HOLDS(same(limit.bounds[0].text, "30 ft") && limit.bounds[0].at_most == 1);
    HOLDS(limit.bounds[0].status == TOPRAIL_STANDS && limit.bounds[0].strictest == 1);

    HOLDS(sizes.fits > 0);
    int over = 0;
    for (size_t i = 0; i < sizes.fits; ++i) {
        toprail_fit fit = {.size = sizeof fit};
        HOLDS(toprail_fit_at(decision, i, &fit) == TOPRAIL_OK);
        over += same(fit.name, "twice") && fit.verdict == TOPRAIL_NOT_MET;
    }
    HOLDS(over == 1);

    toprail_step step = {.size = sizeof step};
    int stands = 0;
    for (size_t i = 0; i < sizes.steps; ++i) {
        HOLDS(toprail_step_at(decision, i, &step) == TOPRAIL_OK);
        /* Of a caller that was built before `adopted_from` was there nothing more is written. */
        toprail_step old = {.size = offsetof(toprail_step, adopted_from)};
        old.adopted_from.size = 7;
        HOLDS(toprail_step_at(decision, i, &old) == TOPRAIL_OK);
        HOLDS(old.adopted_from.size == 7 && old.cite.size == step.cite.size);
        if (same(step.provision, "yard/boom")) {
            HOLDS(step.status == TOPRAIL_STANDS && same(step.cite, "Yard 1"));
            HOLDS(same(step.effect, "tie-off: required") && step.because.count == 1);
            HOLDS(same(step.source, "read") && same(step.standing, "regulation"));
            stands = 1;
        }
    }
    HOLDS(stands == 1);
    HOLDS(toprail_step_at(decision, sizes.steps, &step) == TOPRAIL_NO_SUCH);
    HOLDS(sizes.cautions > 0);
    toprail_text caution;
    HOLDS(toprail_caution_at(decision, 0, &caution) == TOPRAIL_OK && caution.size > 0);
    HOLDS(toprail_close(decision) == TOPRAIL_OK);
}

static void unknown_facts_leave_it_open(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_facts* facts = small_facts("boom", "20 ft");
    HOLDS(toprail_facts_remove(facts, text_of("mechanism")) == TOPRAIL_OK);
    toprail_decision* decision = NULL;
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, &decision, NULL) == TOPRAIL_OK);
    toprail_duty duty = {.size = sizeof duty};
    HOLDS(toprail_duty_named(decision, text_of("tie-off"), &duty) == TOPRAIL_OK);
    HOLDS(duty.outcome == TOPRAIL_UNDETERMINED && duty.act_as_if == TOPRAIL_REQUIRED);
    HOLDS(duty.possible == (1U << TOPRAIL_REQUIRED | 1U << TOPRAIL_NOT_ADDRESSED));
    HOLDS(duty.settled_by.count == 1 && same(duty.settled_by.items[0], "mechanism"));
    HOLDS(same(duty.ask_next, "mechanism"));
    HOLDS(toprail_close(decision) == TOPRAIL_OK);

    const toprail_fact scissor = {text_of("mechanism"), text_of("scissor"), text_of("")};
    HOLDS(toprail_facts_set(facts, &scissor, 1) == TOPRAIL_OK);
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, &decision, NULL) == TOPRAIL_OK);
    HOLDS(toprail_duty_named(decision, text_of("tie-off"), &duty) == TOPRAIL_OK);
    HOLDS(duty.outcome == TOPRAIL_NOT_ADDRESSED);
    HOLDS(toprail_close(decision) == TOPRAIL_OK);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
}

static void it_is_told_as_json_and_text(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_facts* facts = small_facts("boom", "3 ft");
    toprail_decision* decision = NULL;
    toprail_buffer* buffer = NULL;
    HOLDS(toprail_buffer_new(&buffer) == TOPRAIL_OK);
    HOLDS(written(buffer).size == 0);
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, &decision, NULL) == TOPRAIL_OK);
    HOLDS(toprail_decision_json(decision, text_of("one"), buffer) == TOPRAIL_OK);
    const size_t once = written(buffer).size;
    HOLDS(holds_text(written(buffer), "\"case\":\"one\"") ||
          holds_text(written(buffer), "\"case\": \"one\""));
    HOLDS(written(buffer).data[once] == '\0');
    HOLDS(toprail_decision_json(decision, text_of("one"), buffer) == TOPRAIL_OK);
    HOLDS(written(buffer).size == 2 * once);
    HOLDS(toprail_buffer_clear(buffer) == TOPRAIL_OK);
    HOLDS(toprail_decision_text(decision, text_of("one"), TOPRAIL_ANSWER, buffer) == TOPRAIL_OK);
    const size_t brief = written(buffer).size;
    HOLDS(holds_text(written(buffer), "tie-off"));
    HOLDS(toprail_buffer_clear(buffer) == TOPRAIL_OK);
    HOLDS(toprail_decision_text(decision, text_of("one"), TOPRAIL_EVERYTHING, buffer) ==
          TOPRAIL_OK);
    HOLDS(written(buffer).size > brief && holds_text(written(buffer), "Yard 3"));
    HOLDS(toprail_close(buffer) == TOPRAIL_OK);
    HOLDS(toprail_close(decision) == TOPRAIL_OK);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
}

static void authorities_and_budget_are_options(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_facts* facts = small_facts("boom", "20 ft");
    const toprail_text named[] = {text_of("yard")};
    toprail_decide_options how = {.size = sizeof how, .authorities = {named, 1}, .budget = 1000};
    toprail_decision* decision = NULL;
    toprail_findings* findings = NULL;
    HOLDS(toprail_decide(shelf, facts, some_day, &how, &decision, &findings) == TOPRAIL_OK);
    HOLDS(toprail_close(decision) == TOPRAIL_OK);
    const toprail_text nobody[] = {text_of("nobody")};
    how.authorities.items = nobody;
    HOLDS(toprail_decide(shelf, facts, some_day, &how, &decision, &findings) == TOPRAIL_FINDINGS);
    HOLDS(decision == NULL && findings != NULL);
    HOLDS(toprail_close(findings) == TOPRAIL_OK);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
}

static void the_shipped_packs_load(void) {
    const toprail_text folders[] = {text_of(TOPRAIL_SOURCE_DIR "/rulepacks")};
    toprail_shelf* shelf = NULL;
    toprail_findings* findings = NULL;
    HOLDS(toprail_shelf_from_folders(folders, 1, NULL, &shelf, &findings) == TOPRAIL_OK);
    HOLDS(shelf != NULL);
    HOLDS(toprail_close(findings) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
}

static void texts_that_are_no_packs_are_left_out_on_request(void) {
    const toprail_source sources[] = {
        {text_of("site.yaml"), text_of("site: somewhere\ncases: []\n")},
        {text_of("small.yaml"), text_of(small_vocabulary)},
        {text_of("yard.yaml"), text_of(small_pack)},
    };
    toprail_load_options how = {.size = sizeof how, .skip_others = 1};
    toprail_shelf* shelf = NULL;
    HOLDS(toprail_shelf_from_texts(sources, 3, &how, &shelf, NULL) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
    /* A caller that was compiled before there was this member. */
    how.size = offsetof(toprail_load_options, skip_others);
    HOLDS(toprail_shelf_from_texts(sources, 3, &how, &shelf, NULL) == TOPRAIL_FINDINGS);
    HOLDS(toprail_shelf_from_texts(sources + 1, 2, &how, &shelf, NULL) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
    how.size -= 1;
    HOLDS(toprail_shelf_from_texts(sources, 3, &how, &shelf, NULL) == TOPRAIL_BAD_ARGUMENT);
}

static void a_receipt_records_the_decision(void) {
    toprail_shelf* shelf = small_shelf();
    toprail_receipt_maker* maker = NULL;
    if (!toprail_has_receipts()) {
        HOLDS(toprail_receipt_maker_new(shelf, &maker) == TOPRAIL_NOT_BUILT && maker == NULL);
        HOLDS(toprail_close(shelf) == TOPRAIL_OK);
        return;
    }
    HOLDS(toprail_receipt_maker_new(shelf, &maker) == TOPRAIL_OK);
    HOLDS(toprail_close(shelf) == TOPRAIL_OK);
    toprail_facts* facts = small_facts("boom", "20 ft");
    toprail_buffer* first = NULL;
    toprail_buffer* second = NULL;
    toprail_decision* decision = NULL;
    toprail_findings* findings = NULL;
    HOLDS(toprail_buffer_new(&first) == TOPRAIL_OK);
    HOLDS(toprail_buffer_new(&second) == TOPRAIL_OK);
    HOLDS(toprail_receipt_make(maker, facts, some_day, NULL, text_of("one"), NULL, first, &decision,
                               &findings) == TOPRAIL_OK);
    HOLDS(decision != NULL && findings == NULL);
    HOLDS(toprail_receipt_make(maker, facts, some_day, NULL, text_of("one"), NULL, second, NULL,
                               NULL) == TOPRAIL_OK);
    HOLDS(written(first).size > 0 && written(first).size == written(second).size);
    HOLDS(memcmp(written(first).data, written(second).data, written(first).size) == 0);
    HOLDS(holds_text(written(first), "\"digest\":\""));
    HOLDS(!holds_text(written(first), "\"seed\""));
    uint8_t seed[32] = {7};
    const toprail_receipt_options how = {sizeof how, seed};
    HOLDS(toprail_buffer_clear(second) == TOPRAIL_OK);
    HOLDS(toprail_receipt_make(maker, facts, some_day, NULL, text_of("one"), &how, second, NULL,
                               NULL) == TOPRAIL_OK);
    HOLDS(holds_text(written(second), "\"seed\""));
    HOLDS(toprail_close(decision) == TOPRAIL_OK);
    HOLDS(toprail_close(first) == TOPRAIL_OK);
    HOLDS(toprail_close(second) == TOPRAIL_OK);
    HOLDS(toprail_close(facts) == TOPRAIL_OK);
    HOLDS(toprail_close(maker) == TOPRAIL_OK);
}

int main(void) {
    the_library_says_what_it_is();
    a_decision_is_read_entry_by_entry();
    unknown_facts_leave_it_open();
    it_is_told_as_json_and_text();
    authorities_and_budget_are_options();
    the_shipped_packs_load();
    texts_that_are_no_packs_are_left_out_on_request();
    a_receipt_records_the_decision();
    return 0;
}
