/* SQL functions of the extension: decide a case with a set of packs. toprail--0.1.sql says what they
 * take and give. */
#include "postgres.h"

#include "facts.h"
#include "funcapi.h"
#include "miscadmin.h"
#include "shelves.h"
#include "utils/array.h"
#include "utils/builtins.h"
#include "utils/date.h"
#include "utils/datetime.h"

PG_MODULE_MAGIC;

PG_FUNCTION_INFO_V1(toprail_sql_decide);
PG_FUNCTION_INFO_V1(toprail_sql_decide_pinned);
PG_FUNCTION_INFO_V1(toprail_sql_version);

Datum toprail_sql_decide(PG_FUNCTION_ARGS);
Datum toprail_sql_decide_pinned(PG_FUNCTION_ARGS);
Datum toprail_sql_version(PG_FUNCTION_ARGS);

/* What one call makes and gives back, however it ends. */
typedef struct Made {
    toprail_facts* facts;
    toprail_decision* decision;
    toprail_buffer* buffer;
    toprail_findings* findings;
    toprail_plan* plan;
} Made;

static void close_all(Made* made) {
    toprail_close(made->plan);
    toprail_close(made->findings);
    toprail_close(made->buffer);
    toprail_close(made->decision);
    toprail_close(made->facts);
}

static void hold(toprail_status status, Made* made) {
    if (status == TOPRAIL_FINDINGS && made->findings != NULL) {
        raise_findings("toprail", made->findings, NULL, 0);
    }
    if (status != TOPRAIL_OK) {
        raise_trouble(status, "toprail");
    }
}

static toprail_text text_of_arg(text* from) {
    return text_of(VARDATA_ANY(from), (int)VARSIZE_ANY_EXHDR(from));
}

static toprail_text day_of(DateADT date) {
    int year, month, day;
    char* written;
    if (DATE_NOT_FINITE(date)) {
        ereport(ERROR, (errcode(ERRCODE_DATETIME_VALUE_OUT_OF_RANGE),
                        errmsg("toprail: the deciding date is no day")));
    }
    j2date(date + POSTGRES_EPOCH_JDATE, &year, &month, &day);
    written = psprintf("%04d-%02d-%02d", year, month, day);
    return text_of(written, (int)strlen(written));
}

static toprail_texts texts_of(ArrayType* array) {
    Datum* items;
    bool* nulls;
    int count;
    toprail_text* texts;
    toprail_texts all;
    deconstruct_array(array, TEXTOID, -1, false, TYPALIGN_INT, &items, &nulls, &count);
    texts = palloc0(sizeof *texts * (size_t)(count + 1));
    for (int i = 0; i < count; ++i) {
        if (nulls[i]) {
            ereport(ERROR, (errcode(ERRCODE_NULL_VALUE_NOT_ALLOWED),
                            errmsg("toprail: the id of an authority is null")));
        }
        texts[i] = text_of_arg(DatumGetTextPP(items[i]));
    }
    all.items = texts;
    all.count = (size_t)count;
    return all;
}

static Datum text_datum(toprail_text from) {
    return PointerGetDatum(cstring_to_text_with_len(from.size == 0 ? "" : from.data,
                                                    (int)from.size));
}

static Datum array_datum(toprail_texts from) {
    Datum* items = palloc(sizeof *items * (from.count + 1));
    for (size_t i = 0; i < from.count; ++i) {
        items[i] = text_datum(from.items[i]);
    }
    return PointerGetDatum(
        construct_array(items, (int)from.count, TEXTOID, -1, false, TYPALIGN_INT));
}

/* No governing authority speaks of the duty; but the vocabulary has to know it. */
static void hold_to_duty(const Shelf* shelf, toprail_text day, toprail_text name, Made* made) {
    const toprail_plan_options how = {.size = sizeof how, .duties = {&name, 1}};
    hold(toprail_plan_new(shelf->shelf, day, &how, &made->plan, &made->findings), made);
}

enum { outcome_at, possible_at, act_as_if_at, settled_by_at, ask_next_at, provisions_at, receipt_at,
       columns };

static void tell_duty(const Shelf* shelf, toprail_text day, toprail_text name, Made* made,
                      Datum* values, bool* nulls) {
    toprail_duty duty = {.size = sizeof duty};
    toprail_text possible[TOPRAIL_UNDETERMINED];
    toprail_texts list = {possible, 0};
    const toprail_status status = toprail_duty_named(made->decision, name, &duty);
    if (status == TOPRAIL_NO_SUCH) {
        hold_to_duty(shelf, day, name, made);
        duty.outcome = duty.act_as_if = TOPRAIL_NOT_ADDRESSED;
        duty.possible = 1U << TOPRAIL_NOT_ADDRESSED;
    } else {
        hold(status, made);
    }
    for (toprail_outcome each = 0; each < TOPRAIL_UNDETERMINED; ++each) {
        if ((duty.possible >> each & 1U) != 0) {
            possible[list.count++] = toprail_outcome_word(each);
        }
    }
    values[outcome_at] = text_datum(toprail_outcome_word(duty.outcome));
    values[possible_at] = array_datum(list);
    values[act_as_if_at] = text_datum(toprail_outcome_word(duty.act_as_if));
    values[settled_by_at] = array_datum(duty.settled_by);
    nulls[ask_next_at] = duty.ask_next.size == 0;
    values[ask_next_at] = text_datum(duty.ask_next);
    values[provisions_at] = array_datum(duty.provisions);
}

/* The arguments of a call, read. */
typedef struct Asked {
    Shelf shelf;
    Jsonb* facts;
    FactList list;
    toprail_text day;
    toprail_text duty;
    toprail_decide_options how;
    toprail_text case_name;
    bool with_receipt;
} Asked;

static void tell(const Asked* asked, Made* made, Datum* values, bool* nulls) {
    toprail_status status;
    hold(toprail_facts_new(asked->list.entries, asked->list.count, &made->facts), made);
    if (asked->with_receipt) {
        hold(toprail_buffer_new(&made->buffer), made);
        status = toprail_receipt_make(asked->shelf.maker, made->facts, asked->day, &asked->how,
                                      asked->case_name, NULL, made->buffer, &made->decision,
                                      &made->findings);
    } else {
        status = toprail_decide(asked->shelf.shelf, made->facts, asked->day, &asked->how,
                                &made->decision, &made->findings);
    }
    if (status == TOPRAIL_FINDINGS && made->findings != NULL) {
        raise_facts(asked->shelf.shelf, asked->day, asked->facts, asked->list, made->findings);
    }
    hold(status, made);
    tell_duty(&asked->shelf, asked->day, asked->duty, made, values, nulls);
    nulls[receipt_at] = !asked->with_receipt;
    if (asked->with_receipt) {
        toprail_text receipt;
        hold(toprail_buffer_text(made->buffer, &receipt), made);
        values[receipt_at] = text_datum(receipt);
    }
}

static Datum decide(FunctionCallInfo fcinfo, bool pinned) {
    Asked asked = {.facts = PG_GETARG_JSONB_P(1),
                   .day = day_of(PG_GETARG_DATEADT(2)),
                   .duty = text_of_arg(PG_GETARG_TEXT_PP(3)),
                   .how = {.size = sizeof(toprail_decide_options),
                           .authorities = texts_of(PG_GETARG_ARRAYTYPE_P(4))},
                   .case_name = text_of_arg(PG_GETARG_TEXT_PP(5)),
                   .with_receipt = PG_GETARG_BOOL(6)};
    Made made = {0};
    Datum values[columns] = {0};
    bool nulls[columns] = {false};
    TupleDesc row;
    if (get_call_result_type(fcinfo, NULL, &row) != TYPEFUNC_COMPOSITE) {
        elog(ERROR, "toprail: the function does not return a row");
    }
    asked.list = read_facts(asked.facts);
    asked.shelf = shelf_of_argument(fcinfo, 0, pinned);
    CHECK_FOR_INTERRUPTS();
    PG_TRY();
    {
        tell(&asked, &made, values, nulls);
    }
    PG_FINALLY();
    {
        close_all(&made);
    }
    PG_END_TRY();
    PG_RETURN_DATUM(HeapTupleGetDatum(heap_form_tuple(BlessTupleDesc(row), values, nulls)));
}

Datum toprail_sql_decide(PG_FUNCTION_ARGS) {
    return decide(fcinfo, false);
}

Datum toprail_sql_decide_pinned(PG_FUNCTION_ARGS) {
    return decide(fcinfo, true);
}

Datum toprail_sql_version(PG_FUNCTION_ARGS) {
    PG_RETURN_DATUM(text_datum(toprail_version()));
}
