-- Which open permits come out otherwise under the packs as they stand now? One parallel query.
--   psql -v rulepacks="'/usr/share/toprail/rulepacks'" -f example.sql
CREATE EXTENSION IF NOT EXISTS toprail;
CREATE TABLE edition AS SELECT 'now' AS name, toprail_packs(:rulepacks) AS packs;
CREATE TABLE permit (id text PRIMARY KEY, open boolean, facts jsonb, outcome text);
INSERT INTO permit VALUES
    ('lift-a', true, '{"lift-mechanism": "scissor", "platform-height": "14 ft",
                       "guardrail": "removed", "elevated": true}', 'required'),
    ('lift-b', true, '{"lift-mechanism": "scissor", "platform-height": "14 ft",
                       "guardrail": "removed", "elevated": true}', 'not required'),
    ('lift-c', false, '{}', 'not required');

PREPARE changed(text, date) AS
    SELECT permit.id, permit.outcome AS was, answer.outcome AS is_now, answer.settled_by
    FROM permit, LATERAL toprail_decide_pinned(
        (SELECT packs FROM edition WHERE name = $1), facts, $2,
        authorities => '{us.federal.construction}') AS answer
    WHERE permit.open AND answer.outcome IS DISTINCT FROM permit.outcome
    ORDER BY permit.id;
EXPLAIN (COSTS OFF) EXECUTE changed('now', '2024-06-01');
EXECUTE changed('now', '2024-06-01');
