-- A short visit to look at a repair is signed but is not a check of the door: it does not change
-- the due date and is not a failed attempt. Repairs found good are in separate entries, "defect
-- looked at".
DROP VIEW visits_entered;
DROP VIEW last_checks;

CREATE VIEW visits_entered AS
SELECT
    e.seq, coalesce(c.number, s.door, e.door) AS number, coalesce(c.site, s.site, e.site) AS site,
    coalesce(c.building, s.building, e.building) AS building, e.check_id,
    CASE e.kind WHEN 'checked before' THEN coalesce(json_extract(e.body, '$.by'), '') ELSE e.person END AS person,
    CASE e.kind WHEN 'checked before' THEN json_extract(e.body, '$.at') ELSE e.at END AS at,
    e.kind = 'checked before' OR (e.kind = 'signed' AND (
        SELECT count(*) FILTER (WHERE looked) > 0 AND count(*) FILTER (WHERE looked) >= coalesce(
            json_array_length(e.body, '$.not_checked'),
            count(*) FILTER (WHERE NOT looked) + coalesce(json_array_length(e.body, '$.skipped'), 0)
        )
        FROM (
            SELECT json_extract(a.body, '$.value.kind') NOT IN ('cannot_check', 'not_measured', 'does_not_apply') AS looked
            FROM answers AS a
            WHERE a.check_id = e.check_id AND json_extract(a.body, '$.component') <> 'register'
        )
    )) AS seen,
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
    ) OR EXISTS (
        SELECT 1 FROM entries AS w WHERE w.kind = 'earlier check withdrawn' AND json_extract(w.body, '$.of') = e.seq
    ) AS doubted,
    CASE e.kind WHEN 'checked before' THEN e.at END AS entered
FROM entries AS e
LEFT JOIN entries AS s ON s.check_id = e.check_id AND s.kind = 'check started'
LEFT JOIN door_names AS n ON n.number = coalesce(s.door, e.door) AND n.site = coalesce(s.site, e.site)
    AND n.building = coalesce(s.building, e.building) AND n.since < coalesce(s.seq, e.seq)
    AND (n.until IS NULL OR coalesce(s.seq, e.seq) < n.until)
LEFT JOIN door_names AS c ON c.id = n.id AND c.until IS NULL
WHERE e.kind IN ('signed', 'access refused', 'checked before') AND json_extract(e.body, '$.look') IS NULL;

CREATE VIEW last_checks AS
SELECT d.number, d.site, d.building, g.check_id, g.at AS signed
FROM door_names AS d
LEFT JOIN entries AS g ON g.seq = (
    SELECT signature.seq
    FROM door_names AS n
    JOIN entries AS s ON s.kind = 'check started' AND s.door = n.number AND s.site = n.site
        AND s.building = n.building AND s.seq > n.since AND (n.until IS NULL OR s.seq < n.until)
    JOIN entries AS signature ON signature.check_id = s.check_id AND signature.kind = 'signed'
        AND json_extract(signature.body, '$.look') IS NULL
    WHERE n.id = d.id
    ORDER BY s.seq DESC LIMIT 1
)
WHERE d.until IS NULL;
