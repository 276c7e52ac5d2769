-- A check that arrived late, dated before the last one, does not change the due date; first checks
-- may be planned, if a register was imported at once; and a finding no longer stands from the first
-- entry that says so, whatever is entered later.
ALTER TABLE standing ADD COLUMN planned TEXT;

CREATE INDEX entries_of_settings ON entries (seq) WHERE kind = 'settings changed';
CREATE INDEX entries_of_plans ON entries (door, site, building, seq) WHERE kind = 'first check planned';

DROP TRIGGER due_of_visits;
DROP TRIGGER due_of_clock;
DROP TRIGGER due_of_withdrawn_earlier_checks;
DROP VIEW standing_entered;

CREATE VIEW standing_entered AS
SELECT
    d.number, d.site, d.building, coalesce(json_extract(d.door, '$.floor'), '') AS floor,
    coalesce(json_extract(d.door, '$.place'), '') AS place, json_extract(d.door, '$.use') AS use,
    (SELECT f.at FROM entries AS f WHERE f.seq = d.id) AS added,
    c.at AS checked, nullif(c.person, '') AS by,
    (
        SELECT max(t.at) FROM visited AS t
        WHERE t.number = d.number AND t.site = d.site AND t.building = d.building AND t.seen = 0 AND NOT t.doubted
            AND t.seq > coalesce(c.seq, 0)
    ) AS tried,
    (
        SELECT count(*) FROM visited AS t
        WHERE t.number = d.number AND t.site = d.site AND t.building = d.building AND t.seen = 0 AND NOT t.doubted
            AND t.seq > coalesce(c.seq, 0)
    ) AS tries,
    d.retired,
    (
        SELECT json_extract(p.body, '$.on')
        FROM door_names AS n JOIN entries AS p ON p.kind = 'first check planned' AND p.door = n.number
            AND p.site = n.site AND p.building = n.building AND p.seq > n.since
            AND (n.until IS NULL OR p.seq < n.until)
        WHERE n.id = d.id ORDER BY p.seq DESC LIMIT 1
    ) AS planned
FROM doors AS d
LEFT JOIN visited AS c ON c.seq = (
    SELECT v.seq FROM visited AS v
    WHERE v.number = d.number AND v.site = d.site AND v.building = d.building AND v.seen = 1 AND NOT v.doubted
    ORDER BY v.entered IS NULL DESC, CASE WHEN v.entered IS NULL THEN v.at END DESC, v.seq DESC LIMIT 1
);

DROP VIEW sightings;

CREATE VIEW sightings AS
SELECT o.*, g.at AS gone_at, g.person AS gone_by
FROM (
    SELECT
        f.seq, f.at, f.check_id, f.answer, c.number, c.site, c.building, f.person,
        json_remove(f.body, '$.answer') AS finding,
        (SELECT d.seq FROM entries AS d WHERE d.check_id = f.check_id AND d.kind = 'signed') AS signed,
        nullif(min(
            CASE WHEN NOT EXISTS (SELECT 1 FROM answers AS a WHERE a.check_id = f.check_id AND a.answer = f.answer) THEN (
                SELECT coalesce(min(l.seq), 9223372036854775807) FROM entries AS l
                WHERE l.check_id = f.check_id AND l.seq > f.seq AND (
                    (l.kind = 'withdrawn' AND l.answer = f.answer)
                    OR (l.kind = 'answered' AND (l.corrects = f.answer OR l.question = json_extract(f.body, '$.question')))
                )
            ) ELSE 9223372036854775807 END,
            (
                SELECT coalesce(min(w.seq), 9223372036854775807) FROM entries AS w
                WHERE w.kind = 'found' AND w.check_id = f.check_id AND w.answer = f.answer AND w.seq > f.seq
                    AND json_extract(w.body, '$.rule') = json_extract(f.body, '$.rule')
                    AND json_extract(w.body, '$.verdict') NOT IN ('defect', 'act now')
                    AND NOT coalesce(json_extract(w.body, '$.made_good'), 0)
            ),
            CASE WHEN json_extract(f.body, '$.verdict') <> 'act now' THEN (
                SELECT coalesce(min(x.seq), 9223372036854775807) FROM entries AS x
                WHERE x.check_id = f.check_id AND x.kind = 'cancelled'
            ) ELSE 9223372036854775807 END
        ), 9223372036854775807) AS gone
    FROM entries AS f
    JOIN entries AS s ON s.check_id = f.check_id AND s.kind = 'check started'
    JOIN door_names AS n ON n.number = s.door AND n.site = s.site AND n.building = s.building AND n.since < s.seq
        AND (n.until IS NULL OR s.seq < n.until)
    JOIN door_names AS c ON c.id = n.id AND c.until IS NULL
    WHERE f.kind = 'found'
        AND (json_extract(f.body, '$.verdict') IN ('defect', 'act now') OR json_extract(f.body, '$.made_good'))
) AS o
LEFT JOIN entries AS g ON g.seq = o.gone;
