/* toprail from C, and from every language that can call C.
 *
 * Conventions
 *
 *  1. Handles are opaque. A function that makes one stores it through its last arguments, and NULL
 *     there when it made none. Every handle is closed by toprail_close, whatever its kind; closing
 *     NULL does nothing.
 *  2. A handle is a number in the shape of a pointer, is never given out twice, and is looked up at
 *     every call: NULL, a closed handle, one of another kind and a stray pointer are refused with
 *     TOPRAIL_BAD_HANDLE. A call that is under way keeps alive what it uses, so closing a handle
 *     in another thread is no error.
 *  3. A text is a pointer and a count of bytes, UTF-8, without a closing zero; NULL with 0 bytes is
 *     the empty text. What is handed in is copied. What comes out belongs to the handle it was read
 *     from and stays until that handle is closed (for a buffer: until it is changed).
 *  4. Every function that can fail returns a status; anything but TOPRAIL_OK means that nothing
 *     was made but findings. toprail_last_trouble says in words what was wrong.
 *  5. TOPRAIL_FINDINGS means that packs or facts cannot be used; the findings say why and where.
 *     With TOPRAIL_OK there may be findings as well, warnings and notes. Whoever does not want
 *     findings hands in NULL instead of a place for them.
 *  6. No exception leaves the library, and it never ends the process: want of memory is
 *     TOPRAIL_NO_MEMORY, a fault of the library's own TOPRAIL_INTERNAL. One exception:
 *     when memory runs out while a receipt is made the process may end, since the JSON library that
 *     receipts are made with allocates where it must not throw.
 *  7. Structs that may grow begin with `size`, which the caller sets to sizeof the struct. A struct
 *     for options may be NULL; members that are zero mean the usual; bytes that this version does
 *     not know must be zero. Of a struct to be filled, as many bytes are filled as the caller has;
 *     bytes that this version does not know are zeroed. A size smaller than that of ABI 0, or above
 *     4096, is TOPRAIL_BAD_ARGUMENT.
 *  8. Structs without `size` (toprail_text, toprail_texts, toprail_fact, toprail_source,
 *     toprail_bound, toprail_column) never change. Enumerations are int32_t and may gain values.
 *  9. Threads. "Any thread": any number of threads may make the call at once, with the same
 *     handles. "One thread at a time": calls with the same facts or buffer must not overlap, unless
 *     all of them only read it; different ones need no care.
 * 10. The library reads no clock, environment or network. toprail_shelf_from_folders alone reads
 *     files.
 * 11. Versions. The shared object is libtoprail-c.so.N, where N is TOPRAIL_ABI. N rises when a
 *     function goes or comes to mean something else, and for nothing else: functions and members
 *     that are added leave it. Each symbol carries the version node TOPRAIL_C_N.
 * 12. Columns of very many cases are the one thing handed in that is not copied: they stay the
 *     caller's, are read where they lie, and must not change until the call returns. Outcomes are
 *     written into the caller's memory. When such a call fails, what stands there is unspecified.
 */
#ifndef TOPRAIL_H
#define TOPRAIL_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__)
#define TOPRAIL_PUBLIC __attribute__((visibility("default")))
#else
#define TOPRAIL_PUBLIC
#endif

/* The binary interface that this header describes. */
#define TOPRAIL_ABI 0

typedef struct toprail_shelf toprail_shelf;
typedef struct toprail_facts toprail_facts;
typedef struct toprail_decision toprail_decision;
typedef struct toprail_findings toprail_findings;
typedef struct toprail_buffer toprail_buffer;
typedef struct toprail_receipt_maker toprail_receipt_maker;
typedef struct toprail_plan toprail_plan;

typedef int32_t toprail_status;
enum {
    TOPRAIL_OK = 0,
    TOPRAIL_FINDINGS = 1,     /* packs or facts cannot be used: see the findings */
    TOPRAIL_BAD_ARGUMENT = 2, /* a null pointer, a size, a day, a value that there is not */
    TOPRAIL_BAD_HANDLE = 3,   /* null, closed, or of another kind */
    TOPRAIL_NO_SUCH = 4,      /* no entry of that number */
    TOPRAIL_NOT_BUILT = 5,    /* this library was made without that component */
    TOPRAIL_NO_MEMORY = 6,
    TOPRAIL_INTERNAL = 7 /* a fault of the library's own */
};

typedef struct toprail_text {
    const char* data;
    size_t size;
} toprail_text;

typedef struct toprail_texts {
    const toprail_text* items;
    size_t count;
} toprail_texts;

/* The text of a string literal. */
#define TOPRAIL_TEXT(literal)                                                                      \
    (toprail_text) {                                                                               \
        literal, sizeof(literal) - 1                                                               \
    }

/* --- The library -------------------------------------------------------------------------- */

/* The binary interface of the library that was loaded; hold it against TOPRAIL_ABI. Any thread. */
TOPRAIL_PUBLIC uint32_t toprail_abi(void);

/* The version of the library, such as "0.1.0". Constant. Any thread. */
TOPRAIL_PUBLIC toprail_text toprail_version(void);

/* 1 when receipts were built in, otherwise 0. Any thread. */
TOPRAIL_PUBLIC int32_t toprail_has_receipts(void);

/* 1 when plans were built in, otherwise 0. Any thread. */
TOPRAIL_PUBLIC int32_t toprail_has_plans(void);

/* What was wrong with the last call of this thread that failed; empty before any did. Stays until
 * the next failure in this thread. Any thread. */
TOPRAIL_PUBLIC toprail_text toprail_last_trouble(void);

/* "bad-handle" for TOPRAIL_BAD_HANDLE and so on; "unknown" for a number that is no status.
 * Constant. Any thread. */
TOPRAIL_PUBLIC toprail_text toprail_status_word(toprail_status status);

/* Closes a handle of any kind. Any thread. TOPRAIL_BAD_HANDLE when it was closed already. */
TOPRAIL_PUBLIC toprail_status toprail_close(void* handle);

/* --- Shelves ------------------------------------------------------------------------------ */

/* A file that is already in memory. */
typedef struct toprail_source {
    toprail_text name; /* what findings call it */
    toprail_text text;
} toprail_source;

typedef struct toprail_load_options {
    size_t size;
    uint64_t most_bytes;    /* in one file; 0: 16 MiB */
    uint64_t most_nodes;    /* keys and values in one file; 0: a million */
    uint32_t most_depth;    /* maps and lists inside each other; 0: 32 */
    uint32_t most_findings; /* kept for one file; 0: 200 */
    /* 1: texts that are neither rulepack nor vocabulary are left out, as files below a folder are,
     * and no error. */
    int32_t skip_others;
} toprail_load_options;

/* Loads every rulepack and vocabulary below the folders, as one shelf. A shelf is immutable. Any
 * thread. */
TOPRAIL_PUBLIC toprail_status toprail_shelf_from_folders(const toprail_text* folders, size_t count,
                                                         const toprail_load_options* how,
                                                         toprail_shelf** shelf,
                                                         toprail_findings** findings);

/* The same from texts, vocabularies among them. Any thread. */
TOPRAIL_PUBLIC toprail_status toprail_shelf_from_texts(const toprail_source* sources, size_t count,
                                                       const toprail_load_options* how,
                                                       toprail_shelf** shelf,
                                                       toprail_findings** findings);

/* --- Facts -------------------------------------------------------------------------------- */

/* A fact by name, with its value as a person would write it: "14 ft", "scissor", "yes",
 * "2024-06-01", "not known", "does not apply". `from` says where it comes from; may be empty. */
typedef struct toprail_fact {
    toprail_text name;
    toprail_text value;
    toprail_text from;
} toprail_fact;

/* Facts of one case; of entries with the same name the last one counts. Values are read when a
 * case is decided. Any thread. */
TOPRAIL_PUBLIC toprail_status toprail_facts_new(const toprail_fact* entries, size_t count,
                                                toprail_facts** facts);

/* Sets or replaces facts. One thread at a time. */
TOPRAIL_PUBLIC toprail_status toprail_facts_set(toprail_facts* facts, const toprail_fact* entries,
                                                size_t count);

/* Takes a fact out; one that was not set is no error. One thread at a time. */
TOPRAIL_PUBLIC toprail_status toprail_facts_remove(toprail_facts* facts, toprail_text name);

/* --- Deciding ----------------------------------------------------------------------------- */

typedef struct toprail_decide_options {
    size_t size;
    /* Ids of the authorities that govern; none: the governing rulepack decides who does. */
    toprail_texts authorities;
    /* Work allowed for exact answers on unknown facts, in diagram nodes; 0: 200 000. */
    uint64_t budget;
} toprail_decide_options;

/* Decides a case for a day, such as "2024-06-01" (years 1800 to 2200). A decision is immutable. Any
 * thread; a facts handle must not be changed meanwhile. */
TOPRAIL_PUBLIC toprail_status toprail_decide(const toprail_shelf* shelf, const toprail_facts* facts,
                                             toprail_text day, const toprail_decide_options* how,
                                             toprail_decision** decision,
                                             toprail_findings** findings);

/* --- Reading a decision ------------------------------------------------------------------- */

typedef int32_t toprail_outcome;
enum {
    TOPRAIL_REQUIRED = 0,
    TOPRAIL_REQUIRED_WITH_EXCEPTION = 1,
    TOPRAIL_NOT_REQUIRED = 2,
    TOPRAIL_NOT_ADDRESSED = 3,
    TOPRAIL_UNDETERMINED = 4
};

/* How the plan stands to what is asked. */
typedef int32_t toprail_verdict;
enum { TOPRAIL_MET = 0, TOPRAIL_NOT_MET = 1, TOPRAIL_VERDICT_OPEN = 2 };

/* What became of a provision. Open: it hangs on facts that are not known. */
typedef int32_t toprail_standing;
enum { TOPRAIL_STANDS = 0, TOPRAIL_FALLS = 1, TOPRAIL_OPEN = 2, TOPRAIL_DISPLACED = 3 };

/* Possibly: for some fillings of the unknown facts. */
typedef int32_t toprail_perhaps;
enum { TOPRAIL_NO = 0, TOPRAIL_POSSIBLY = 1, TOPRAIL_YES = 2 };

typedef struct toprail_duty {
    size_t size;
    toprail_text duty;
    toprail_text reads;
    toprail_text asks;
    toprail_outcome outcome;
    toprail_outcome act_as_if; /* until the duty is settled */
    uint32_t possible;         /* bit N is set when outcome N is still possible */
    int32_t exact;             /* 0: `possible` and `settled_by` may hold more than needed */
    int32_t waits_for_plan;    /* 1: only facts that the crew can still choose are open */
    toprail_perhaps contested;
    toprail_text ask_next;
    toprail_texts settled_by; /* facts that can still change the outcome */
    toprail_texts provisions; /* those that the outcome rests on */
} toprail_duty;

typedef struct toprail_choice {
    size_t size;
    toprail_text choice;
    toprail_text reads;
    toprail_texts admissible;
    toprail_texts barred; /* which provisions barred them stands in the JSON */
    toprail_texts open;
    toprail_perhaps empty; /* whether no value is left: stop and ask */
    int32_t exact;
    toprail_texts settled_by;
} toprail_choice;

/* One bound on a quantity; the text is the author's own figure. */
typedef struct toprail_bound {
    toprail_text provision;
    toprail_text text;
    toprail_text when; /* for open bounds: "if means is arrest" */
    int32_t at_most;   /* 1: at most; 0: at least */
    toprail_standing status;
    int32_t strictest;
} toprail_bound;

typedef struct toprail_limit {
    size_t size;
    toprail_text quantity;
    toprail_text reads;
    toprail_text value; /* as computed or given, with its unit; empty when not known */
    const toprail_bound* bounds;
    size_t bound_count;
} toprail_limit;

typedef struct toprail_fit {
    size_t size;
    toprail_text about; /* "duty", "choice" or "limit" */
    toprail_text name;
    toprail_verdict verdict;
    toprail_text reason;
    toprail_texts provisions;
} toprail_fit;

/* One provision that was considered. */
typedef struct toprail_step {
    size_t size;
    toprail_text provision;
    toprail_text authority;
    toprail_standing status;
    toprail_text cite;
    toprail_text standing;
    toprail_text source;
    toprail_text gist;
    toprail_text effect;   /* "tie-off: required", "means: bars positioning" */
    toprail_text in_force; /* empty without dates of its own */
    toprail_texts because; /* what made it stand or fall, a sentence each */
    toprail_texts displaced_by;
    toprail_text adopted_from; /* the rulepack it was written in; empty when it is its own */
} toprail_step;

/* How many entries there are of each kind. */
typedef struct toprail_decision_sizes {
    size_t size;
    size_t duties;
    size_t choices;
    size_t limits;
    size_t fits;
    size_t steps;
    size_t cautions;
    int32_t undetermined; /* 1: some duty hangs on more than the plan */
} toprail_decision_sizes;

/* All of these: entries are numbered from 0, in the order of the JSON. Any thread. */
TOPRAIL_PUBLIC toprail_status toprail_decision_count(const toprail_decision* decision,
                                                     toprail_decision_sizes* sizes);
TOPRAIL_PUBLIC toprail_status toprail_duty_at(const toprail_decision* decision, size_t number,
                                              toprail_duty* duty);
/* The duty of that name; TOPRAIL_NO_SUCH when no governing authority may speak of it. */
TOPRAIL_PUBLIC toprail_status toprail_duty_named(const toprail_decision* decision,
                                                 toprail_text name, toprail_duty* duty);
TOPRAIL_PUBLIC toprail_status toprail_choice_at(const toprail_decision* decision, size_t number,
                                                toprail_choice* choice);
TOPRAIL_PUBLIC toprail_status toprail_limit_at(const toprail_decision* decision, size_t number,
                                               toprail_limit* limit);
TOPRAIL_PUBLIC toprail_status toprail_fit_at(const toprail_decision* decision, size_t number,
                                             toprail_fit* fit);
TOPRAIL_PUBLIC toprail_status toprail_step_at(const toprail_decision* decision, size_t number,
                                              toprail_step* step);
TOPRAIL_PUBLIC toprail_status toprail_caution_at(const toprail_decision* decision, size_t number,
                                                 toprail_text* caution);

/* "required with exception" for TOPRAIL_REQUIRED_WITH_EXCEPTION and so on; empty for a number that
 * is no outcome. Constant. Any thread. */
TOPRAIL_PUBLIC toprail_text toprail_outcome_word(toprail_outcome outcome);

/* --- Buffers: where longer texts go ------------------------------------------------------- */

/* Texts are appended to a buffer; one that is used again allocates nothing. Any thread. */
TOPRAIL_PUBLIC toprail_status toprail_buffer_new(toprail_buffer** buffer);

/* The text so far, followed by a zero that does not count. It stays until the buffer is changed or
 * closed. One thread at a time. */
TOPRAIL_PUBLIC toprail_status toprail_buffer_text(const toprail_buffer* buffer, toprail_text* text);

/* Empties the buffer and keeps its memory. One thread at a time. */
TOPRAIL_PUBLIC toprail_status toprail_buffer_clear(toprail_buffer* buffer);

typedef int32_t toprail_length;
enum { TOPRAIL_ANSWER = 0, TOPRAIL_REASONS = 1, TOPRAIL_EVERYTHING = 2 };

/* Appends one JSON object, with the keys that the README describes. Any thread; the buffer one
 * thread at a time. A call that fails leaves the buffer as it was; so it is wherever a text is
 * appended. */
TOPRAIL_PUBLIC toprail_status toprail_decision_json(const toprail_decision* decision,
                                                    toprail_text case_name, toprail_buffer* buffer);

/* Appends the sheet for people. Threads as for the JSON. */
TOPRAIL_PUBLIC toprail_status toprail_decision_text(const toprail_decision* decision,
                                                    toprail_text case_name, toprail_length length,
                                                    toprail_buffer* buffer);

/* --- Findings ----------------------------------------------------------------------------- */

typedef int32_t toprail_severity;
enum { TOPRAIL_ERROR = 0, TOPRAIL_WARNING = 1, TOPRAIL_NOTE = 2 };

/* Lines and columns count from 1, columns and length in characters; line 0 concerns a whole file,
 * and the file is empty when the text came through this interface. */
typedef struct toprail_finding {
    size_t size;
    toprail_text code; /* stable, such as "unknown-name" */
    toprail_severity severity;
    uint32_t line;
    uint32_t column;
    uint32_t length;
    toprail_text file;
    toprail_text source_line;
    toprail_text message;
    toprail_text help;
} toprail_finding;

/* Any thread. */
TOPRAIL_PUBLIC toprail_status toprail_findings_count(const toprail_findings* findings,
                                                     size_t* count);
/* Any thread. */
TOPRAIL_PUBLIC toprail_status toprail_finding_at(const toprail_findings* findings, size_t number,
                                                 toprail_finding* finding);
/* Appends a JSON list. Any thread; the buffer one thread at a time. */
TOPRAIL_PUBLIC toprail_status toprail_findings_json(const toprail_findings* findings,
                                                    toprail_buffer* buffer);
/* Appends the findings as people read them. Threads as for the JSON. */
TOPRAIL_PUBLIC toprail_status toprail_findings_text(const toprail_findings* findings,
                                                    toprail_buffer* buffer);

/* --- Receipts: TOPRAIL_NOT_BUILT unless toprail_has_receipts() ---------------------------- */

/* A maker keeps the shelf alive and is immutable. Any thread. */
TOPRAIL_PUBLIC toprail_status toprail_receipt_maker_new(const toprail_shelf* shelf,
                                                        toprail_receipt_maker** maker);

typedef struct toprail_receipt_options {
    size_t size;
    /* 32 secret bytes of good randomness, different for each receipt, or NULL. Without them facts
     * cannot be taken out of the receipt later. */
    const uint8_t* seed;
} toprail_receipt_options;

/* Decides a case and appends its receipt, one line without its end. `decision` may be NULL. Threads
 * as for toprail_decide; the buffer one thread at a time. */
TOPRAIL_PUBLIC toprail_status
toprail_receipt_make(const toprail_receipt_maker* maker, const toprail_facts* facts,
                     toprail_text day, const toprail_decide_options* how, toprail_text case_name,
                     const toprail_receipt_options* receipt, toprail_buffer* buffer,
                     toprail_decision** decision, toprail_findings** findings);

/* --- Plans: very many cases. TOPRAIL_NOT_BUILT unless toprail_has_plans() ----------------- */

typedef struct toprail_plan_options {
    size_t size;
    toprail_texts authorities; /* as in toprail_decide_options */
    toprail_texts duties;      /* names of the duties that are wanted; none: all */
} toprail_plan_options;

/* Makes a shelf ready for deciding very many cases of one day. A plan keeps the shelf alive and is
 * immutable. Any thread. */
TOPRAIL_PUBLIC toprail_status toprail_plan_new(const toprail_shelf* shelf, toprail_text day,
                                               const toprail_plan_options* how, toprail_plan** plan,
                                               toprail_findings** findings);

typedef struct toprail_plan_sizes {
    size_t size;
    size_t facts;
    size_t duties;
} toprail_plan_sizes;

typedef struct toprail_plan_fact {
    size_t size;
    toprail_text fact;
    size_t classes;       /* sets of values that no test tells apart; class bytes are below it */
    int32_t used;         /* 0: no wanted duty can hang on it */
    int32_t needs_values; /* 1: classes do not tell enough of it, see toprail_bulk_report */
} toprail_plan_fact;

/* All of these: any thread. Facts and duties are numbered from 0, in the order of the vocabulary. */
TOPRAIL_PUBLIC toprail_status toprail_plan_count(const toprail_plan* plan,
                                                 toprail_plan_sizes* sizes);
TOPRAIL_PUBLIC toprail_status toprail_plan_fact_at(const toprail_plan* plan, size_t number,
                                                   toprail_plan_fact* fact);
TOPRAIL_PUBLIC toprail_status toprail_plan_duty_at(const toprail_plan* plan, size_t number,
                                                   toprail_text* duty);
/* The class byte of a value as a person would write it. TOPRAIL_NO_SUCH for a fact that there is
 * not, TOPRAIL_BAD_ARGUMENT for a value that the fact does not take. */
TOPRAIL_PUBLIC toprail_status toprail_plan_class_of(const toprail_plan* plan, toprail_text fact,
                                                    toprail_text value, uint8_t* class_byte);

/* What the values of a column are. */
typedef int32_t toprail_column_kind;
enum {
    TOPRAIL_CLASSES = 0, /* uint8_t: class bytes */
    TOPRAIL_NUMBERS = 1, /* int64_t: whole numbers of `unit` */
    TOPRAIL_REALS = 2,   /* double: the shortest decimal that reads back as it, of `unit` */
    TOPRAIL_CODES = 3,   /* int8_t: numbers of `texts` */
    TOPRAIL_VALUES = 4   /* toprail_text: as in toprail_fact */
};

/* "Not known" and "does not apply" in columns. Of codes, those below 0 are not known; of doubles,
 * NaN is, and from 1e30 on they are no value; a text says it in words. */
#define TOPRAIL_CLASS_NOT_KNOWN 255
#define TOPRAIL_CLASS_DOES_NOT_APPLY 254
#define TOPRAIL_NUMBER_NOT_KNOWN INT64_MIN
#define TOPRAIL_NUMBER_DOES_NOT_APPLY (INT64_MIN + 1)

/* One fact of all cases. A class byte that class_of does not give leaves the outcome of its case
 * unspecified. */
typedef struct toprail_column {
    toprail_text fact;
    const void* values; /* one for each case, aligned as their type asks */
    toprail_text unit;  /* of numbers and doubles; empty for plain numbers and counts */
    toprail_texts texts;
    toprail_column_kind kind;
} toprail_column;

/* Where outcomes are written: toprail_outcome as a byte, or this where a case has no answer: a
 * value cannot be read or lies out of range, or a day lies before the first edition of a governing
 * authority. */
#define TOPRAIL_NO_ANSWER 5

typedef struct toprail_bulk_options {
    size_t size;
    uint64_t budget;  /* as in toprail_decide_options */
    uint32_t threads; /* to work with, the caller's included; 0: one. 256 at most */
    int32_t quick;    /* 1: no exact search. Then more may stay undetermined, never less */
} toprail_bulk_options;

typedef struct toprail_bulk_report {
    size_t size;
    uint64_t searched;       /* cases that went through the exact search */
    uint64_t without_values; /* cases left wider, since a column held classes of a fact that
                                needs values */
    uint64_t no_answer;
} toprail_bulk_report;

/* Decides `cases` cases. A fact without a column is not known. `outcomes` has room for one byte
 * per duty of the plan and case, all cases of a duty together; `outcome_bytes` is their product.
 * `report` may be NULL. The outcomes are those of toprail_decide. Any thread. */
TOPRAIL_PUBLIC toprail_status
toprail_plan_decide(const toprail_plan* plan, const toprail_column* columns, size_t count,
                    size_t cases, const toprail_bulk_options* how, uint8_t* outcomes,
                    size_t outcome_bytes, toprail_bulk_report* report);

#ifdef __cplusplus
}
#endif

#endif
