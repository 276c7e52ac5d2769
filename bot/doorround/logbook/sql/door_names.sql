-- Current and former names of each door. A door keeps its history when it is renumbered or moved to
-- another building, and its old number may be given to another door: so an entry belongs to the
-- door that had that name when it was entered. id: number of the entry that added the door to the
-- register. since, until: numbers of the entries by which a name began and ended; until is NULL for
-- the current name.
CREATE TABLE door_names (
    number TEXT NOT NULL,
    site TEXT NOT NULL,
    building TEXT NOT NULL,
    since INTEGER NOT NULL,
    until INTEGER,
    id INTEGER NOT NULL,
    PRIMARY KEY (number, site, building, since)
) STRICT, WITHOUT ROWID;

CREATE INDEX door_names_by_id ON door_names (id, since);

-- doors described: every entry with a complete description of a door
CREATE INDEX entries_of_descriptions ON entries (door, site, building, seq)
WHERE kind IN ('door added', 'door changed', 'door moved', 'door renumbered');
CREATE INDEX entries_of_retirements ON entries (door, site, building, seq)
WHERE kind IN ('door retired', 'door brought back');
CREATE INDEX entries_at_head_of_register ON entries (seq)
WHERE kind IN ('door added', 'door changed', 'door moved', 'door renumbered', 'door retired', 'door brought back');
CREATE INDEX entries_of_renames ON entries (seq) WHERE kind IN ('door moved', 'door renumbered');

CREATE VIEW door_names_entered AS
WITH RECURSIVE renames AS MATERIALIZED (
    SELECT
        seq, door AS number, site, building, json_extract(body, '$.was.number') AS was_number,
        json_extract(body, '$.was.site') AS was_site, json_extract(body, '$.was.building') AS was_building
    FROM entries INDEXED BY entries_of_renames
    WHERE kind IN ('door moved', 'door renumbered') AND (
        door IS NOT json_extract(body, '$.was.number') OR site IS NOT json_extract(body, '$.was.site')
        OR building IS NOT json_extract(body, '$.was.building')
    )
), named (id, number, site, building, since) AS (
    SELECT e.seq, e.door, e.site, e.building, e.seq
    FROM entries AS e
    WHERE e.kind IN ('door added', 'door changed', 'door moved', 'door renumbered')
        AND e.kind IN ('door added', 'door changed') AND NOT EXISTS (
        SELECT 1 FROM entries AS b
        WHERE b.kind IN ('door added', 'door changed', 'door moved', 'door renumbered') AND b.door = e.door
            AND b.site = e.site AND b.building = e.building AND b.seq < e.seq AND b.seq > coalesce((
                SELECT max(r.seq) FROM renames AS r
                WHERE r.was_number = e.door AND r.was_site = e.site AND r.was_building = e.building AND r.seq < e.seq
            ), 0)
    )
    UNION ALL
    SELECT n.id, r.number, r.site, r.building, r.seq
    FROM named AS n JOIN renames AS r ON r.seq = (
        SELECT min(f.seq) FROM renames AS f
        WHERE f.was_number = n.number AND f.was_site = n.site AND f.was_building = n.building AND f.seq > n.since
    )
)
SELECT
    n.number, n.site, n.building, n.since, (
        SELECT min(r.seq) FROM renames AS r
        WHERE r.was_number = n.number AND r.was_site = n.site AND r.was_building = n.building AND r.seq > n.since
    ) AS until, n.id
FROM named AS n;

INSERT INTO door_names SELECT number, site, building, since, until, id FROM door_names_entered;

-- The register: the latest description of each door. retired: when it was; NULL while it is in use.
DROP VIEW last_checks;
DROP VIEW doors;

CREATE VIEW doors AS
SELECT
    n.number, n.site, n.building, e.seq, coalesce(json_extract(e.body, '$.door'), e.body) AS door, n.id, n.since,
    CASE WHEN r.kind = 'door retired' THEN r.at END AS retired,
    CASE WHEN r.kind = 'door retired' THEN json_extract(r.body, '$.why') END AS retired_why
FROM door_names AS n
JOIN entries AS e ON e.seq = (
    SELECT max(later.seq) FROM entries AS later
    WHERE later.kind IN ('door added', 'door changed', 'door moved', 'door renumbered')
        AND later.door = n.number AND later.site = n.site AND later.building = n.building AND later.seq >= n.since
)
LEFT JOIN entries AS r ON r.seq = (
    SELECT max(t.seq) FROM entries AS t
    WHERE t.kind IN ('door retired', 'door brought back')
        AND t.door = n.number AND t.site = n.site AND t.building = n.building AND t.seq >= n.since
)
WHERE n.until IS NULL;

-- Checks by the door's current name.
DROP VIEW checks;

CREATE VIEW checks AS
SELECT
    s.seq, s.check_id, c.number AS door, c.site, c.building, s.person, s.at AS started, s.zone,
    json_extract(s.body, '$.checklist_hash') AS checklist,
    coalesce(nullif(l.kind, 'resumed'), 'open') AS stage,
    CASE WHEN l.kind IN ('signed', 'cancelled') THEN l.at END AS closed,
    CASE WHEN l.kind = 'signed' THEN l.body END AS signature
FROM entries AS s
JOIN door_names AS n ON n.number = s.door AND n.site = s.site AND n.building = s.building AND n.since < s.seq
    AND (n.until IS NULL OR s.seq < n.until)
JOIN door_names AS c ON c.id = n.id AND c.until IS NULL
LEFT JOIN entries AS l ON l.seq = (
    SELECT max(seq) FROM entries
    WHERE check_id = s.check_id AND kind IN ('signed', 'cancelled', 'paused', 'resumed')
)
WHERE s.kind = 'check started';

-- The signed check that started last, for every door in the register; NULL if there is none.
CREATE VIEW last_checks AS
SELECT d.number, d.site, d.building, g.check_id, g.at AS signed
FROM door_names AS d
LEFT JOIN entries AS g ON g.seq = (
    SELECT signature.seq
    FROM door_names AS n
    JOIN entries AS s ON s.kind = 'check started' AND s.door = n.number AND s.site = n.site
        AND s.building = n.building AND s.seq > n.since AND (n.until IS NULL OR s.seq < n.until)
    JOIN entries AS signature ON signature.check_id = s.check_id AND signature.kind = 'signed'
    WHERE n.id = d.id
    ORDER BY s.seq DESC LIMIT 1
)
WHERE d.until IS NULL;

-- A check made before doorround, from a paper logbook, is a visit too: its day is in its body.
-- entered: when such a check was entered; NULL for those made with doorround. A withdrawn one
-- counts as doubted.
DROP TRIGGER due_of_visits;
DROP TRIGGER due_of_clock;
ALTER TABLE visited ADD COLUMN entered TEXT;
ALTER TABLE standing ADD COLUMN retired TEXT;
CREATE INDEX entries_of_withdrawn_earlier_checks ON entries (json_extract(body, '$.of'))
WHERE kind = 'earlier check withdrawn';

DROP VIEW standing_entered;
DROP VIEW visits_entered;

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
WHERE e.kind IN ('signed', 'access refused', 'checked before');

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
    d.retired
FROM doors AS d
LEFT JOIN visited AS c ON c.seq = (
    SELECT max(v.seq) FROM visited AS v
    WHERE v.number = d.number AND v.site = d.site AND v.building = d.building AND v.seen = 1 AND NOT v.doubted
);

-- Every fault ever found, by the door's current name; otherwise as before.
DROP VIEW sightings;

CREATE VIEW sightings AS
SELECT o.*, g.at AS gone_at, g.person AS gone_by
FROM (
    SELECT
        f.seq, f.at, f.check_id, f.answer, c.number, c.site, c.building, f.person,
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
    JOIN door_names AS n ON n.number = s.door AND n.site = s.site AND n.building = s.building AND n.since < s.seq
        AND (n.until IS NULL OR s.seq < n.until)
    JOIN door_names AS c ON c.id = n.id AND c.until IS NULL
    WHERE f.kind = 'found'
        AND (json_extract(f.body, '$.verdict') IN ('defect', 'act now') OR json_extract(f.body, '$.made_good'))
) AS o
LEFT JOIN entries AS g ON g.seq = o.gone;

-- Doors put out of action by somebody, until somebody says that they are fit again; by current
-- name.
DROP VIEW doors_out;

CREATE VIEW doors_out AS
SELECT c.number, c.site, c.building, o.at, o.person, json_extract(o.body, '$.why') AS why
FROM entries AS o
JOIN door_names AS n ON n.number = o.door AND n.site = o.site AND n.building = o.building AND n.since < o.seq
    AND (n.until IS NULL OR o.seq < n.until)
JOIN door_names AS c ON c.id = n.id AND c.until IS NULL
WHERE o.kind = 'door out of action' AND NOT EXISTS (
    SELECT 1 FROM door_names AS m
    JOIN entries AS later ON later.kind IN ('door out of action', 'door fit again') AND later.door = m.number
        AND later.site = m.site AND later.building = m.building AND later.seq > m.since
        AND (m.until IS NULL OR later.seq < m.until) AND later.seq > o.seq
    WHERE m.id = n.id
);
