-- The due list's tables, renamed after their contents: door_status was "standing", visits was
-- "visited".
DROP TRIGGER due_of_doors;
DROP TRIGGER due_of_moves;
DROP TRIGGER due_of_retirements;
DROP TRIGGER due_of_visits;
DROP TRIGGER due_of_clock;
DROP TRIGGER due_of_withdrawn_earlier_checks;
DROP TRIGGER due_of_plans;
DROP VIEW standing_entered;

ALTER TABLE standing RENAME TO door_status;
ALTER TABLE visited RENAME TO visits;

DROP INDEX standing_by_age;
DROP INDEX standing_by_check;
DROP INDEX standing_by_building;
DROP INDEX visited_by_door;
DROP INDEX visited_by_time;
CREATE INDEX door_status_by_age ON door_status (use, checked);
CREATE INDEX door_status_by_check ON door_status (checked);
CREATE INDEX door_status_by_building ON door_status (site, building);
CREATE INDEX visits_by_door ON visits (number, site, building, seen, seq);
CREATE INDEX visits_by_time ON visits (at);

CREATE VIEW door_status_entered AS
SELECT
    d.number, d.site, d.building, coalesce(json_extract(d.door, '$.floor'), '') AS floor,
    coalesce(json_extract(d.door, '$.place'), '') AS place, json_extract(d.door, '$.use') AS use,
    (SELECT f.at FROM entries AS f WHERE f.seq = d.id) AS added,
    c.at AS checked, nullif(c.person, '') AS by,
    (
        SELECT max(t.at) FROM visits AS t
        WHERE t.number = d.number AND t.site = d.site AND t.building = d.building AND t.seen = 0 AND NOT t.doubted
            AND t.seq > coalesce(c.seq, 0)
    ) AS tried,
    (
        SELECT count(*) FROM visits AS t
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
LEFT JOIN visits AS c ON c.seq = (
    SELECT v.seq FROM visits AS v
    WHERE v.number = d.number AND v.site = d.site AND v.building = d.building AND v.seen = 1 AND NOT v.doubted
    ORDER BY v.entered IS NULL DESC, CASE WHEN v.entered IS NULL THEN v.at END DESC, v.seq DESC LIMIT 1
);
