-- Run by CREATE EXTENSION toprail.
\echo Use "CREATE EXTENSION toprail" to load this file. \quit

-- What is decided of one duty.
CREATE TYPE toprail_answer AS (
    outcome text,        -- required, required with exception, not required, not addressed, undetermined
    possible text[],     -- the outcomes that the facts not known leave possible
    act_as_if text,      -- until it is settled
    settled_by text[],   -- the facts that can still change the outcome
    ask_next text,       -- which of them to ask for first; null when none is
    provisions text[],   -- what the outcome rests on
    receipt text         -- one line, as `toprail replay` reads it; null when not asked for
);

-- packs: {"texts": {"name.yaml": "...", ...}} or {"folders": ["/path", ...]}.
-- facts: {"platform-height": "14 ft", "gate-open": false, "stance": null,
--         "guardrail": {"value": "complete", "from": "photo"}}; null is not known.
-- Folders may change between two calls, so this is volatile. It changes nothing and keeps nothing
-- that another process would have to see, so it is parallel safe.
CREATE FUNCTION toprail_decide(
    packs jsonb, facts jsonb, decided_on date, duty text DEFAULT 'tie-off',
    authorities text[] DEFAULT '{}', case_name text DEFAULT '', with_receipt boolean DEFAULT true
) RETURNS toprail_answer
AS 'MODULE_PATHNAME', 'toprail_sql_decide'
LANGUAGE C STRICT VOLATILE PARALLEL SAFE COST 100000;

-- The same of packs that are pinned by their text: nothing but the arguments counts, so it is
-- immutable. An index or a generated column made with it has to be made again after an update of the
-- library, as with every immutable function.
CREATE FUNCTION toprail_decide_pinned(
    packs jsonb, facts jsonb, decided_on date, duty text DEFAULT 'tie-off',
    authorities text[] DEFAULT '{}', case_name text DEFAULT '', with_receipt boolean DEFAULT true
) RETURNS toprail_answer
AS 'MODULE_PATHNAME', 'toprail_sql_decide_pinned'
LANGUAGE C STRICT IMMUTABLE PARALLEL SAFE COST 100000;

-- The version of the library, which receipts name.
CREATE FUNCTION toprail_version() RETURNS text
AS 'MODULE_PATHNAME', 'toprail_sql_version'
LANGUAGE C STRICT STABLE PARALLEL SAFE;

-- The packs below a folder of the server, as texts to be kept in a table: pinned from then on. Files
-- that are neither rulepacks nor vocabularies do no harm. For members of pg_read_server_files.
CREATE FUNCTION toprail_packs(folder text) RETURNS jsonb
LANGUAGE sql STRICT VOLATILE PARALLEL RESTRICTED
AS $$
    WITH RECURSIVE below(path, is_folder) AS (
        SELECT folder, true
        UNION ALL
        SELECT path || '/' || name, (pg_stat_file(path || '/' || name)).isdir
        FROM below, LATERAL pg_ls_dir(path) AS name
        WHERE is_folder AND name <> 'templates'
    )
    SELECT jsonb_build_object(
        'texts', coalesce(jsonb_object_agg(path, pg_read_file(path)), '{}'))
    FROM below
    WHERE NOT is_folder AND path LIKE '%.yaml'
$$;
