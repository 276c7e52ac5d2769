-- The register: the latest description of each door.
CREATE VIEW doors AS
SELECT e.door AS number, e.site, e.building, e.seq, coalesce(json_extract(e.body, '$.door'), e.body) AS door
FROM entries AS e
WHERE e.kind IN ('door added', 'door changed') AND e.seq = (
    SELECT max(later.seq) FROM entries AS later
    WHERE later.kind IN ('door added', 'door changed')
        AND later.door = e.door AND later.site = e.site AND later.building = e.building
);

CREATE VIEW people AS
SELECT seq, at, json_extract(body, '$.name') AS name, json_extract(body, '$.role') AS role
FROM entries WHERE kind = 'person added';

CREATE VIEW checks AS
SELECT
    s.seq, s.check_id, s.door, s.site, s.building, s.person, s.at AS started, s.zone,
    json_extract(s.body, '$.checklist_hash') AS checklist,
    coalesce(nullif(l.kind, 'resumed'), 'open') AS stage,
    CASE WHEN l.kind IN ('signed', 'cancelled') THEN l.at END AS closed,
    CASE WHEN l.kind = 'signed' THEN l.body END AS signature
FROM entries AS s
LEFT JOIN entries AS l ON l.seq = (
    SELECT max(seq) FROM entries
    WHERE check_id = s.check_id AND kind IN ('signed', 'cancelled', 'paused', 'resumed')
)
WHERE s.kind = 'check started';

-- The signed check that started last, for every door in the register; NULL if there is none.
CREATE VIEW last_checks AS
SELECT d.number, d.site, d.building, g.check_id, g.at AS signed
FROM doors AS d
LEFT JOIN entries AS g ON g.seq = (
    SELECT signature.seq
    FROM entries AS s JOIN entries AS signature ON signature.check_id = s.check_id AND signature.kind = 'signed'
    WHERE s.kind = 'check started' AND s.door = d.number AND s.site = d.site AND s.building = d.building
    ORDER BY s.seq DESC LIMIT 1
);

-- Every answer ever given, with the entry that corrected or withdrew it.
CREATE VIEW answers_given AS
SELECT
    a.seq, a.check_id, a.door, a.person, a.question, a.answer, a.corrects, a.body,
    (
        SELECT min(c.seq) FROM entries AS c
        WHERE c.kind = 'answered' AND c.corrects IS NOT NULL AND c.check_id = a.check_id AND c.corrects = a.answer
    ) AS corrected_by,
    (
        SELECT min(w.seq) FROM entries AS w
        WHERE w.kind = 'withdrawn' AND w.check_id = a.check_id AND w.answer = a.answer
    ) AS withdrawn_by
FROM entries AS a WHERE a.kind = 'answered';

-- Answers in force: the latest to each question of a check, neither corrected nor withdrawn.
CREATE VIEW answers AS
SELECT g.seq, g.check_id, g.door, g.person, g.question, g.answer, g.body
FROM answers_given AS g
WHERE g.corrected_by IS NULL AND g.withdrawn_by IS NULL AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind = 'answered' AND later.check_id = g.check_id AND later.question = g.question
        AND later.seq > g.seq AND NOT EXISTS (
            SELECT 1 FROM entries AS w
            WHERE w.kind = 'withdrawn' AND w.check_id = later.check_id AND w.answer = later.answer
        )
);

-- Findings on answers in force; if a rule judged one answer twice, the later result.
CREATE VIEW findings AS
SELECT f.seq, f.at, f.check_id, f.door, f.person, f.answer, json_remove(f.body, '$.answer') AS finding
FROM entries AS f
JOIN answers AS a ON a.check_id = f.check_id AND a.answer = f.answer
WHERE f.kind = 'found' AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind = 'found' AND later.check_id = f.check_id AND later.answer = f.answer AND later.seq > f.seq
        AND json_extract(later.body, '$.rule') = json_extract(f.body, '$.rule')
);

CREATE VIEW notes AS
SELECT
    seq, at, check_id, door, person,
    json_extract(body, '$.text') AS text, json_extract(body, '$.audio_sha256') AS audio_sha256
FROM entries WHERE kind = 'noted';
