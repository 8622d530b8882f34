/* Want of memory: the Nth allocation of a call fails, for every N, until the call gets through.
 * Each failure must be told as TOPRAIL_NO_MEMORY, hand out nothing and leak nothing. Receipts are
 * left out: see convention 6 of the header. */
#include "holds.h"

#include <stddef.h>

/* The C++ operators under their names in the object file (Itanium C++ ABI, 5.1.5); those of the
 * program come before those of the C++ library. */
void* _Znwm(size_t size);
void _ZdlPv(void* block);
void _ZdlPvm(void* block, size_t size);
/* libstdc++: throws std::bad_alloc. */
_Noreturn void _ZSt17__throw_bad_allocv(void);

static long left = -1; /* allocations that still succeed; below 0: all */
static long living;    /* blocks that were not given back */

void* _Znwm(size_t size) {
    if (left == 0) {
        _ZSt17__throw_bad_allocv();
    }
    if (left > 0) {
        --left;
    }
    void* block = malloc(size ? size : 1);
    if (block == NULL) {
        abort();
    }
    ++living;
    return block;
}

void _ZdlPv(void* block) {
    living -= block != NULL;
    free(block);
}

void _ZdlPvm(void* block, size_t size) {
    (void)size;
    _ZdlPv(block);
}

static toprail_shelf* shelf;
static toprail_facts* facts;
static toprail_facts* unusable;
static toprail_decision* decision;
static toprail_buffer* buffer;

/* Each makes its call once and, when that went well, gives back what it got. */
static toprail_status loads(void) {
    const toprail_source sources[] = {
        {text_of("small.yaml"), text_of(small_vocabulary)},
        {text_of("yard.yaml"), text_of(small_pack)},
    };
    toprail_shelf* made = NULL;
    toprail_findings* findings = NULL;
    const toprail_status status = toprail_shelf_from_texts(sources, 2, NULL, &made, &findings);
    HOLDS(status == TOPRAIL_OK || (made == NULL && findings == NULL));
    HOLDS(toprail_close(made) == TOPRAIL_OK && toprail_close(findings) == TOPRAIL_OK);
    return status;
}

static toprail_status makes_facts(void) {
    const toprail_fact entry = {text_of("mechanism"),
                                text_of("a text too long to be kept without memory"), text_of("")};
    toprail_facts* made = NULL;
    const toprail_status status = toprail_facts_new(&entry, 1, &made);
    HOLDS(status == TOPRAIL_OK || made == NULL);
    HOLDS(toprail_close(made) == TOPRAIL_OK);
    return status;
}

static toprail_status decides(void) {
    toprail_decision* made = NULL;
    const toprail_status status = toprail_decide(shelf, facts, some_day, NULL, &made, NULL);
    HOLDS(status == TOPRAIL_OK || made == NULL);
    HOLDS(toprail_close(made) == TOPRAIL_OK);
    return status;
}

static toprail_status refuses(void) {
    toprail_decision* made = NULL;
    toprail_findings* findings = NULL;
    const toprail_status status = toprail_decide(shelf, unusable, some_day, NULL, &made, &findings);
    HOLDS(made == NULL);
    HOLDS((status == TOPRAIL_FINDINGS) == (findings != NULL));
    HOLDS(toprail_close(findings) == TOPRAIL_OK);
    return status == TOPRAIL_FINDINGS ? TOPRAIL_OK : status;
}

static toprail_status tells(void) {
    toprail_text before, after;
    HOLDS(toprail_buffer_text(buffer, &before) == TOPRAIL_OK);
    const toprail_status status = toprail_decision_json(decision, some_day, buffer);
    HOLDS(toprail_buffer_text(buffer, &after) == TOPRAIL_OK);
    HOLDS((status == TOPRAIL_OK) == (after.size != before.size));
    return status;
}

static toprail_status decides_columns(void) {
    static const int8_t codes[] = {0, 1};
    const toprail_text texts[] = {text_of("boom"), text_of("a value that no lift of ours has")};
    const toprail_column column = {
        .fact = text_of("mechanism"), .values = codes, .texts = {texts, 2}, .kind = TOPRAIL_CODES};
    uint8_t outcomes[2];
    toprail_plan* plan = NULL;
    toprail_status status = toprail_plan_new(shelf, some_day, NULL, &plan, NULL);
    HOLDS(status == TOPRAIL_OK || plan == NULL);
    if (status == TOPRAIL_OK) {
        status = toprail_plan_decide(plan, &column, 1, 2, NULL, outcomes, 2, NULL);
        /* Closing needs no memory. */
        HOLDS(toprail_close(plan) == TOPRAIL_OK);
    }
    return status;
}

static void starve(const char* what, toprail_status (*call)(void)) {
    /* Tables that the library fills once and keeps are filled before anything is counted. */
    HOLDS(call() == TOPRAIL_OK);
    long failures = 0;
    for (long allowed = 0;; ++allowed) {
        /* The buffer is new each time, so that writing into it needs memory. */
        HOLDS(toprail_close(buffer) == TOPRAIL_OK);
        HOLDS(toprail_buffer_new(&buffer) == TOPRAIL_OK);
        const long before = living;
        left = allowed;
        const toprail_status status = call();
        left = -1;
        if (status == TOPRAIL_OK) {
            break;
        }
        HOLDS(status == TOPRAIL_NO_MEMORY);
        HOLDS(same(toprail_last_trouble(), "out of memory"));
        /* What the buffer took from memory before it failed stays with it until it is closed. */
        HOLDS(living <= before + 1);
        ++failures;
    }
    HOLDS(failures > 0);
    printf("%s: %ld allocations, each failed once\n", what, failures);
}

int main(void) {
    setvbuf(stdout, NULL, _IONBF, 0);
    shelf = small_shelf();
    facts = small_facts("boom", "20 ft");
    unusable = small_facts("hovercraft", "20 ft");
    HOLDS(toprail_buffer_new(&buffer) == TOPRAIL_OK);
    HOLDS(toprail_decide(shelf, facts, some_day, NULL, &decision, NULL) == TOPRAIL_OK);
    starve("facts", makes_facts);
    starve("decision", decides);
    starve("findings", refuses);
    starve("JSON", tells);
    if (toprail_has_plans()) {
        starve("columns", decides_columns);
    }
    starve("shelf", loads);
    return 0;
}
