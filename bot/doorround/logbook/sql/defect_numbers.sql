-- Every fault ever found, in the order found, including those that no longer stand: a number quoted
-- in an alert stays valid. gone: the entry since which it no longer stands: its answer was
-- corrected or withdrawn, its rule judged the same answer differently, its check was cancelled.
-- Act-now findings survive a cancelled check, which may have been of another door.
DROP VIEW sightings;

CREATE VIEW sightings AS
SELECT o.*, g.at AS gone_at, g.person AS gone_by
FROM (
    SELECT
        f.seq, f.at, f.check_id, f.answer, s.door AS number, s.site, s.building, f.person,
        json_remove(f.body, '$.answer') AS finding,
        (SELECT d.seq FROM entries AS d WHERE d.check_id = f.check_id AND d.kind = 'signed') AS signed,
        coalesce(
            CASE WHEN NOT EXISTS (SELECT 1 FROM answers AS a WHERE a.check_id = f.check_id AND a.answer = f.answer) THEN (
                SELECT min(l.seq) FROM entries AS l
                WHERE l.check_id = f.check_id AND l.seq > f.seq AND (
                    (l.kind = 'withdrawn' AND l.answer = f.answer)
                    OR (l.kind = 'answered' AND (l.corrects = f.answer OR l.question = json_extract(f.body, '$.question')))
                )
            ) END,
            (
                SELECT max(w.seq) FROM entries AS w
                WHERE w.kind = 'found' AND w.check_id = f.check_id AND w.answer = f.answer AND w.seq > f.seq
                    AND json_extract(w.body, '$.rule') = json_extract(f.body, '$.rule')
                    AND json_extract(w.body, '$.verdict') NOT IN ('defect', 'act now')
                    AND NOT coalesce(json_extract(w.body, '$.made_good'), 0)
            ),
            CASE WHEN json_extract(f.body, '$.verdict') <> 'act now' THEN (
                SELECT x.seq FROM entries AS x WHERE x.check_id = f.check_id AND x.kind = 'cancelled'
            ) END
        ) AS gone
    FROM entries AS f
    JOIN entries AS s ON s.check_id = f.check_id AND s.kind = 'check started'
    WHERE f.kind = 'found'
        AND (json_extract(f.body, '$.verdict') IN ('defect', 'act now') OR json_extract(f.body, '$.made_good'))
) AS o
LEFT JOIN entries AS g ON g.seq = o.gone;

DROP INDEX entries_of_defects;

CREATE INDEX entries_of_deeds ON entries (seq)
WHERE kind IN ('defect assigned', 'defect made good', 'defect noted', 'temporary measure', 'defect looked at', 'defect reopened');
