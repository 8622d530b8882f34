#include "facts.h"

#include "lib/stringinfo.h"
#include "mb/pg_wchar.h"
#include "utils/builtins.h"
#include "utils/fmgrprotos.h"
#include "utils/json.h"

static void bad_fact(toprail_text name, const char* why) {
    ereport(ERROR,
            (errcode(ERRCODE_INVALID_PARAMETER_VALUE),
             errmsg("toprail: the fact \"%s\" %s", string_of(name), why),
             errhint("A fact is a string, a number, a boolean, null for not known, or "
                     "{\"value\": ..., \"from\": \"...\"}.")));
}

static toprail_text plain(toprail_text name, const JsonbValue* value) {
    char* digits;
    switch (value->type) {
    case jbvString:
        return text_of(value->val.string.val, value->val.string.len);
    case jbvNumeric:
        digits = DatumGetCString(DirectFunctionCall1(numeric_out,
                                                     NumericGetDatum(value->val.numeric)));
        return text_of(digits, (int)strlen(digits));
    case jbvBool:
        return value->val.boolean ? TOPRAIL_TEXT("yes") : TOPRAIL_TEXT("no");
    case jbvNull:
        return TOPRAIL_TEXT("not known");
    default:
        bad_fact(name, "has a list or an object for a value");
        pg_unreachable();
    }
}

static toprail_fact told(toprail_text name, JsonbContainer* object) {
    toprail_fact fact = {name, TOPRAIL_TEXT("not known"), {NULL, 0}};
    JsonbIterator* iterator = JsonbIteratorInit(object);
    JsonbIteratorToken token;
    JsonbValue value;
    bool is_value = false;
    while ((token = JsonbIteratorNext(&iterator, &value, true)) != WJB_DONE) {
        if (token == WJB_BEGIN_ARRAY) {
            bad_fact(name, "is a list");
        } else if (token == WJB_KEY) {
            is_value = value.val.string.len == 5 && memcmp(value.val.string.val, "value", 5) == 0;
            if (!is_value &&
                !(value.val.string.len == 4 && memcmp(value.val.string.val, "from", 4) == 0)) {
                bad_fact(name, "has another key than value and from");
            }
        } else if (token == WJB_VALUE && is_value) {
            fact.value = plain(name, &value);
        } else if (token == WJB_VALUE) {
            if (value.type != jbvString) {
                bad_fact(name, "has a source that is no string");
            }
            fact.from = text_of(value.val.string.val, value.val.string.len);
        }
    }
    return fact;
}

FactList read_facts(Jsonb* facts) {
    FactList list = {NULL, 0};
    JsonbIterator* iterator;
    JsonbIteratorToken token;
    JsonbValue value;
    if (!JB_ROOT_IS_OBJECT(facts)) {
        ereport(ERROR, (errcode(ERRCODE_INVALID_PARAMETER_VALUE),
                        errmsg("toprail: facts are an object of names and values")));
    }
    list.entries = palloc0(sizeof *list.entries * (JB_ROOT_COUNT(facts) + 1));
    iterator = JsonbIteratorInit(&facts->root);
    while ((token = JsonbIteratorNext(&iterator, &value, true)) != WJB_DONE) {
        toprail_fact* to = &list.entries[list.count];
        if (token == WJB_KEY) {
            to->name = text_of(value.val.string.val, value.val.string.len);
        } else if (token == WJB_VALUE) {
            if (value.type == jbvBinary) {
                *to = told(to->name, value.val.binary.data);
            } else {
                to->value = plain(to->name, &value);
            }
            ++list.count;
        }
    }
    return list;
}

/* Whether this fact alone cannot be used. */
static bool is_wrong(const toprail_shelf* shelf, toprail_text day, const toprail_fact* fact) {
    toprail_facts* alone = NULL;
    toprail_decision* decision = NULL;
    toprail_status status = toprail_facts_new(fact, 1, &alone);
    if (status == TOPRAIL_OK) {
        status = toprail_decide(shelf, alone, day, NULL, &decision, NULL);
    }
    toprail_close(decision);
    toprail_close(alone);
    return status == TOPRAIL_FINDINGS;
}

/* Where the key stands in the text of an object, in characters from 1; 0 when it does not. Only
 * keys of the object itself count, not those of objects inside it. */
static int place_of(const char* text, toprail_text name) {
    StringInfoData key;
    int depth = 0;
    initStringInfo(&key);
    escape_json(&key, string_of(name));
    for (const char* at = text; *at != '\0';) {
        const char* begin = at;
        if (*at == '{' || *at == '[') {
            ++depth;
        } else if (*at == '}' || *at == ']') {
            --depth;
        }
        if (*at++ != '"') {
            continue;
        }
        while (*at != '"' && *at != '\0') {
            at += *at == '\\' ? 2 : 1;
        }
        at += *at == '"' ? 1 : 0;
        if (depth == 1 && *at == ':' && at - begin == key.len &&
            memcmp(begin, key.data, (size_t)key.len) == 0) {
            return pg_mbstrlen_with_len(text, (int)(begin - text)) + 1;
        }
    }
    return 0;
}

void raise_facts(const toprail_shelf* shelf, toprail_text day, Jsonb* facts, FactList list,
                 const toprail_findings* findings) {
    /* The library was given facts one by one and knows no place: the first that it refuses alone
     * is looked up in the text of the jsonb. */
    const char* within = NULL;
    int position = 0;
    for (size_t i = 0; i < list.count && within == NULL; ++i) {
        if (is_wrong(shelf, day, &list.entries[i])) {
            within = JsonbToCString(NULL, &facts->root, (int)VARSIZE(facts));
            position = place_of(within, list.entries[i].name);
        }
    }
    raise_findings("toprail: the facts cannot be used", findings, within, position);
}
