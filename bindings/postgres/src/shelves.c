#include "shelves.h"

#include "access/detoast.h"
#include "access/xact.h"
#include "catalog/pg_authid.h"
#include "miscadmin.h"
#include "utils/acl.h"
#include "utils/memutils.h"

/* A set is kept as its bytes: equal bytes are the same set, and nothing else is. */
typedef struct Kept {
    Jsonb* packs;
    Shelf shelf;
    uint64 used;        /* when, in calls */
    TimestampTz loaded; /* folders: the start of the statement; texts: 0 */
    uint64 number;      /* of this load; none is 0 */
} Kept;

/* What a call site has seen last: texts of packs are megabytes that lie out of line, and fetching and
 * comparing them takes longer than deciding. While one query runs, the same place holds the same. */
typedef struct Seen {
    struct varatt_external place;
    Kept* kept;
    uint64 number;
} Seen;

enum { most_kept = 4 };

static Kept kept[most_kept];
static uint64 calls;
static uint64 loads;

static void drop(Kept* one) {
    toprail_close(one->shelf.maker);
    toprail_close(one->shelf.shelf);
    if (one->packs != NULL) {
        pfree(one->packs);
    }
    memset(one, 0, sizeof *one);
}

void raise_trouble(toprail_status status, const char* what) {
    const int code = status == TOPRAIL_NO_MEMORY      ? ERRCODE_OUT_OF_MEMORY
                     : status == TOPRAIL_BAD_ARGUMENT ? ERRCODE_INVALID_PARAMETER_VALUE
                     : status == TOPRAIL_FINDINGS     ? ERRCODE_INVALID_PARAMETER_VALUE
                     : status == TOPRAIL_NOT_BUILT    ? ERRCODE_FEATURE_NOT_SUPPORTED
                                                      : ERRCODE_INTERNAL_ERROR;
    ereport(ERROR, (errcode(code), errmsg("%s: %s", what, string_of(toprail_last_trouble()))));
}

static void raise_finding(const char* what, const toprail_finding* finding, const char* all,
                          const char* within, int position) {
    const char* message = string_of(finding->message);
    const char* help = string_of(finding->help);
    const char* place = "";
    if (finding->line != 0) {
        place = psprintf("%s:%u:%u: ", string_of(finding->file), finding->line, finding->column);
        /* What the position counts in is the line of the pack. */
        within = string_of(finding->source_line);
        position = (int)finding->column;
    }
    ereport(ERROR, (errcode(ERRCODE_INVALID_PARAMETER_VALUE),
                    errmsg("%s: %s%s", what, place, message), errdetail("%s", all),
                    help[0] != '\0' ? errhint("%s", help) : 0,
                    within != NULL ? internalerrquery(within) : 0,
                    within != NULL ? internalerrposition(position) : 0));
}

void raise_findings(const char* what, const toprail_findings* findings, const char* within,
                    int position) {
    toprail_buffer* buffer = NULL;
    PG_TRY();
    {
        toprail_finding finding = {.size = sizeof finding};
        toprail_text all = {NULL, 0};
        toprail_status status = TOPRAIL_OK;
        for (size_t i = 0; status == TOPRAIL_OK; ++i) {
            status = toprail_finding_at(findings, i, &finding);
            if (status == TOPRAIL_OK && finding.severity == TOPRAIL_ERROR) {
                break;
            }
        }
        if (status == TOPRAIL_OK) {
            status = toprail_buffer_new(&buffer);
        }
        if (status == TOPRAIL_OK) {
            status = toprail_findings_text(findings, buffer);
        }
        if (status == TOPRAIL_OK) {
            status = toprail_buffer_text(buffer, &all);
        }
        if (status != TOPRAIL_OK) {
            raise_trouble(status, what);
        }
        raise_finding(what, &finding, string_of(all), within, position);
    }
    PG_FINALLY();
    {
        toprail_close(buffer);
    }
    PG_END_TRY();
    pg_unreachable();
}

static void bad_packs(const char* why) {
    ereport(ERROR,
            (errcode(ERRCODE_INVALID_PARAMETER_VALUE), errmsg("toprail: the packs %s", why),
             errhint("Give {\"texts\": {\"name.yaml\": \"...\"}} or {\"folders\": [\"/path\"]}.")));
}

/* The member of an object, which has to be of that type; NULL when there is none. */
static JsonbContainer* member(Jsonb* packs, const char* name, uint32 type) {
    JsonbValue value;
    if (!JB_ROOT_IS_OBJECT(packs)) {
        bad_packs("are no object");
    }
    if (getKeyJsonValueFromContainer(&packs->root, name, (int)strlen(name), &value) == NULL) {
        return NULL;
    }
    if (value.type != jbvBinary || (value.val.binary.data->header & type) == 0) {
        bad_packs(type == JB_FOBJECT ? "have \"texts\" that are no object"
                                     : "have \"folders\" that are no list");
    }
    return value.val.binary.data;
}

static int by_name(const void* left, const void* right) {
    const toprail_text* a = &((const toprail_source*)left)->name;
    const toprail_text* b = &((const toprail_source*)right)->name;
    const int order = memcmp(a->data, b->data, Min(a->size, b->size));
    return order != 0 ? order : (a->size > b->size) - (a->size < b->size);
}

static toprail_status load_texts(JsonbContainer* texts, toprail_shelf** shelf,
                                 toprail_findings** findings) {
    const toprail_load_options how = {.size = sizeof how, .skip_others = 1};
    toprail_source* sources = palloc0(sizeof *sources * (JsonContainerSize(texts) + 1));
    size_t count = 0;
    JsonbIterator* iterator = JsonbIteratorInit(texts);
    JsonbValue value;
    JsonbIteratorToken token;
    while ((token = JsonbIteratorNext(&iterator, &value, true)) != WJB_DONE) {
        if (token == WJB_KEY) {
            sources[count].name = text_of(value.val.string.val, value.val.string.len);
        } else if (token == WJB_VALUE) {
            if (value.type != jbvString) {
                bad_packs("have a text that is no string");
            }
            sources[count++].text = text_of(value.val.string.val, value.val.string.len);
        }
    }
    /* As the files of a folder; jsonb has an order of its own. */
    qsort(sources, count, sizeof *sources, by_name);
    return toprail_shelf_from_texts(sources, count, &how, shelf, findings);
}

static toprail_status load_folders(JsonbContainer* list, toprail_shelf** shelf,
                                   toprail_findings** findings) {
    toprail_text* folders = palloc0(sizeof *folders * (JsonContainerSize(list) + 1));
    size_t count = 0;
    JsonbIterator* iterator = JsonbIteratorInit(list);
    JsonbValue value;
    JsonbIteratorToken token;
    if (!has_privs_of_role(GetUserId(), ROLE_PG_READ_SERVER_FILES)) {
        ereport(ERROR, (errcode(ERRCODE_INSUFFICIENT_PRIVILEGE),
                        errmsg("toprail: only members of pg_read_server_files may name folders"),
                        errhint("Give the packs as {\"texts\": ...}.")));
    }
    while ((token = JsonbIteratorNext(&iterator, &value, true)) != WJB_DONE) {
        if (token == WJB_ELEM) {
            if (value.type != jbvString || value.val.string.len == 0 ||
                value.val.string.val[0] != '/') {
                bad_packs("have a folder that is no absolute path");
            }
            folders[count++] = text_of(value.val.string.val, value.val.string.len);
        }
    }
    return toprail_shelf_from_folders(folders, count, NULL, shelf, findings);
}

static Shelf load(Jsonb* packs, bool* from_folders) {
    Shelf made = {NULL, NULL};
    toprail_findings* findings = NULL;
    JsonbContainer* texts = member(packs, "texts", JB_FOBJECT);
    JsonbContainer* folders = member(packs, "folders", JB_FARRAY);
    if ((texts == NULL) == (folders == NULL)) {
        bad_packs("have neither texts nor folders, or both");
    }
    *from_folders = folders != NULL;
    PG_TRY();
    {
        toprail_status status = texts != NULL ? load_texts(texts, &made.shelf, &findings)
                                              : load_folders(folders, &made.shelf, &findings);
        if (status == TOPRAIL_OK && toprail_has_receipts()) {
            status = toprail_receipt_maker_new(made.shelf, &made.maker);
        }
        if (status == TOPRAIL_FINDINGS && findings != NULL) {
            raise_findings("toprail: the packs cannot be used", findings, NULL, 0);
        }
        if (status != TOPRAIL_OK) {
            raise_trouble(status, "toprail: the packs cannot be used");
        }
    }
    PG_CATCH();
    {
        toprail_close(findings);
        toprail_close(made.shelf);
        PG_RE_THROW();
    }
    PG_END_TRY();
    toprail_close(findings); /* warnings and notes: lint tells them */
    return made;
}

static Kept* kept_for(Jsonb* packs, bool pinned) {
    Kept* place = &kept[0];
    Jsonb* copy;
    Shelf fresh;
    bool from_folders;
    if (pinned && member(packs, "folders", JB_FARRAY) != NULL) {
        ereport(ERROR, (errcode(ERRCODE_INVALID_PARAMETER_VALUE),
                        errmsg("toprail: folders can change, and are no pinned packs"),
                        errhint("Give {\"texts\": ...}, or call toprail_decide.")));
    }
    ++calls;
    for (int i = 0; i < most_kept; ++i) {
        Kept* one = &kept[i];
        if (one->packs != NULL && VARSIZE(one->packs) == VARSIZE(packs) &&
            memcmp(one->packs, packs, VARSIZE(packs)) == 0) {
            if (one->loaded == 0 || one->loaded == GetCurrentStatementStartTimestamp()) {
                one->used = calls;
                return one;
            }
            drop(one);
        }
        if (one->used < place->used) {
            place = one;
        }
    }
    fresh = load(packs, &from_folders);
    copy = MemoryContextAllocExtended(TopMemoryContext, VARSIZE(packs), MCXT_ALLOC_NO_OOM);
    if (copy == NULL) {
        toprail_close(fresh.maker);
        toprail_close(fresh.shelf);
        ereport(ERROR, (errcode(ERRCODE_OUT_OF_MEMORY), errmsg("toprail: out of memory")));
    }
    memcpy(copy, packs, VARSIZE(packs));
    drop(place);
    place->packs = copy;
    place->shelf = fresh;
    place->used = calls;
    place->loaded = from_folders ? GetCurrentStatementStartTimestamp() : 0;
    place->number = ++loads;
    return place;
}

Shelf shelf_of_argument(FunctionCallInfo fcinfo, int number, bool pinned) {
    struct varlena* given = (struct varlena*)PG_GETARG_POINTER(number);
    const bool out_of_line = VARATT_IS_EXTERNAL_ONDISK(given);
    Seen* seen = fcinfo->flinfo->fn_extra;
    struct varatt_external place;
    Kept* one;
    if (out_of_line) {
        VARATT_EXTERNAL_GET_POINTER(place, given);
        if (seen != NULL && memcmp(&seen->place, &place, sizeof place) == 0 &&
            seen->number == seen->kept->number && seen->kept->loaded == 0) {
            seen->kept->used = ++calls;
            return seen->kept->shelf;
        }
    }
    one = kept_for(PG_GETARG_JSONB_P(number), pinned);
    if (out_of_line) {
        if (seen == NULL) {
            seen = MemoryContextAllocZero(fcinfo->flinfo->fn_mcxt, sizeof *seen);
            fcinfo->flinfo->fn_extra = seen;
        }
        seen->place = place;
        seen->kept = one;
        seen->number = one->number;
    }
    return one->shelf;
}
