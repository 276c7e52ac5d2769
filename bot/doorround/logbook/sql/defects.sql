CREATE INDEX entries_found ON entries (seq) WHERE kind = 'found';
CREATE INDEX entries_of_defects ON entries (seq)
WHERE kind IN ('defect assigned', 'defect made good', 'defect noted', 'temporary measure');
CREATE INDEX entries_out ON entries (door, site, building, seq) WHERE kind IN ('door out of action', 'door fit again');

-- Findings of faults, current or past: of signed checks by signature; of unsigned checks as they
-- are found; of cancelled ones, which may have been of another door, only act-now findings.
CREATE VIEW sightings AS
SELECT
    f.seq, coalesce(g.seq, f.seq) AS signed, coalesce(g.at, f.at) AS at, s.door AS number, s.site, s.building, f.person,
    f.finding, g.seq IS NULL AS unsigned
FROM findings AS f
JOIN entries AS s ON s.check_id = f.check_id AND s.kind = 'check started'
LEFT JOIN entries AS g ON g.check_id = f.check_id AND g.kind = 'signed'
WHERE (json_extract(f.finding, '$.verdict') IN ('defect', 'act now') OR json_extract(f.finding, '$.made_good'))
    AND (json_extract(f.finding, '$.verdict') = 'act now' OR NOT EXISTS (
        SELECT 1 FROM entries AS x WHERE x.check_id = f.check_id AND x.kind = 'cancelled'
    ));

-- Doors put out of action by somebody, until somebody says that they are fit again.
CREATE VIEW doors_out AS
SELECT o.door AS number, o.site, o.building, o.at, o.person, json_extract(o.body, '$.why') AS why
FROM entries AS o
WHERE o.kind = 'door out of action' AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind IN ('door out of action', 'door fit again') AND later.door = o.door AND later.site = o.site
        AND later.building = o.building AND later.seq > o.seq
);
