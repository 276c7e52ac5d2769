-- Projections for the due list of a hundred thousand doors, maintained by triggers in the
-- transaction of each entry. `logbook verify` compares both tables with the entries.

-- Every signed visit to a door, and every refusal of access. seen: 1 if at least as many parts were
-- seen as not; 0 is an attempt, which does not change the due date.
CREATE TABLE visited (
    seq INTEGER PRIMARY KEY NOT NULL,
    number TEXT NOT NULL,
    site TEXT NOT NULL,
    building TEXT NOT NULL,
    check_id TEXT,
    person TEXT NOT NULL,
    at TEXT NOT NULL,
    seen INTEGER NOT NULL CHECK (seen IN (0, 1))
) STRICT;

CREATE INDEX visited_by_door ON visited (number, site, building, seen, seq);
CREATE INDEX visited_by_time ON visited (at);

CREATE TABLE standing (
    number TEXT NOT NULL,
    site TEXT NOT NULL,
    building TEXT NOT NULL,
    floor TEXT NOT NULL,
    place TEXT NOT NULL,
    use TEXT,
    added TEXT NOT NULL,
    checked TEXT,
    by TEXT,
    tried TEXT,
    tries INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (number, site, building)
) STRICT, WITHOUT ROWID;

CREATE INDEX standing_by_age ON standing (use, checked);
CREATE INDEX standing_unchecked ON standing (added) WHERE checked IS NULL;
CREATE INDEX standing_by_building ON standing (site, building);

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
    ) AS seen
FROM entries AS e
LEFT JOIN entries AS s ON s.check_id = e.check_id AND s.kind = 'check started'
WHERE e.kind IN ('signed', 'access refused');

INSERT INTO visited (seq, number, site, building, check_id, person, at, seen)
SELECT seq, number, site, building, check_id, person, at, seen FROM visits_entered;

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
        WHERE t.number = d.number AND t.site = d.site AND t.building = d.building AND t.seen = 0
            AND t.seq > coalesce(c.seq, 0)
    ) AS tried,
    (
        SELECT count(*) FROM visited AS t
        WHERE t.number = d.number AND t.site = d.site AND t.building = d.building AND t.seen = 0
            AND t.seq > coalesce(c.seq, 0)
    ) AS tries
FROM doors AS d
LEFT JOIN visited AS c ON c.seq = (
    SELECT max(v.seq) FROM visited AS v
    WHERE v.number = d.number AND v.site = d.site AND v.building = d.building AND v.seen = 1
);

INSERT INTO standing SELECT * FROM standing_entered;
