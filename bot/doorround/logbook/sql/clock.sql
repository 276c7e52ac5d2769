-- A check signed while the clock is in doubt does not change the due date, until somebody confirms
-- that the clock is right. Entries dated after the time of that confirmation were signed while the
-- clock was ahead.
CREATE INDEX entries_of_clock ON entries (seq) WHERE kind IN ('clock doubted', 'clock trusted');

ALTER TABLE visited ADD COLUMN doubted INTEGER NOT NULL DEFAULT 0 CHECK (doubted IN (0, 1));

DROP VIEW standing_entered;
DROP VIEW visits_entered;
DROP TRIGGER due_of_visits;

CREATE VIEW visits_entered AS
SELECT
    e.seq, coalesce(s.door, e.door) AS number, coalesce(s.site, e.site) AS site, coalesce(s.building, e.building) AS building,
    e.check_id, e.person, e.at,
    e.kind = 'signed' AND (
        SELECT count(*) FILTER (WHERE looked) > 0 AND count(*) FILTER (WHERE looked) >= coalesce(
            json_array_length(e.body, '$.not_checked'),
            count(*) FILTER (WHERE NOT looked) + coalesce(json_array_length(e.body, '$.skipped'), 0)
        )
        FROM (
            SELECT json_extract(a.body, '$.value.kind') NOT IN ('cannot_check', 'not_measured', 'does_not_apply') AS looked
            FROM answers AS a
            WHERE a.check_id = e.check_id AND json_extract(a.body, '$.component') <> 'register'
        )
    ) AS seen,
    EXISTS (
        SELECT 1 FROM entries AS r
        WHERE r.kind IN ('clock doubted', 'clock trusted') AND r.kind = 'clock trusted' AND r.seq > e.seq
            AND json_extract(r.body, '$.right') AND e.at > json_extract(r.body, '$.until')
    ) OR EXISTS (
        SELECT 1 FROM entries AS d
        WHERE d.kind = 'clock doubted' AND d.seq = (
            SELECT max(c.seq) FROM entries AS c WHERE c.kind IN ('clock doubted', 'clock trusted') AND c.seq < e.seq
        ) AND NOT EXISTS (
            SELECT 1 FROM entries AS r
            WHERE r.kind IN ('clock doubted', 'clock trusted') AND r.kind = 'clock trusted' AND r.seq > d.seq
                AND json_extract(r.body, '$.of') = d.seq AND json_extract(r.body, '$.right')
        )
    ) AS doubted
FROM entries AS e
LEFT JOIN entries AS s ON s.check_id = e.check_id AND s.kind = 'check started'
WHERE e.kind IN ('signed', 'access refused');

CREATE VIEW standing_entered AS
SELECT
    d.number, d.site, d.building, coalesce(json_extract(d.door, '$.floor'), '') AS floor,
    coalesce(json_extract(d.door, '$.place'), '') AS place, json_extract(d.door, '$.use') AS use,
    (
        SELECT min(f.at) FROM entries AS f
        WHERE f.kind = 'door added' AND f.door = d.number AND f.site = d.site AND f.building = d.building
    ) AS added,
    c.at AS checked, c.person AS by,
    (
        SELECT max(t.at) FROM visited AS t
        WHERE t.number = d.number AND t.site = d.site AND t.building = d.building AND t.seen = 0 AND NOT t.doubted
            AND t.seq > coalesce(c.seq, 0)
    ) AS tried,
    (
        SELECT count(*) FROM visited AS t
        WHERE t.number = d.number AND t.site = d.site AND t.building = d.building AND t.seen = 0 AND NOT t.doubted
            AND t.seq > coalesce(c.seq, 0)
    ) AS tries
FROM doors AS d
LEFT JOIN visited AS c ON c.seq = (
    SELECT max(v.seq) FROM visited AS v
    WHERE v.number = d.number AND v.site = d.site AND v.building = d.building AND v.seen = 1 AND NOT v.doubted
);
