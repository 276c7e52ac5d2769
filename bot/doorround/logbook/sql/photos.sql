CREATE INDEX entries_of_photos ON entries (check_id, json_extract(body, '$.photo_sha256'), seq)
WHERE kind = 'photographed';
CREATE INDEX entries_of_amended_notes ON entries (json_extract(body, '$.amends'), seq) WHERE kind = 'noted';

-- Photos, each with its subject; one sent again takes its latest subject.
CREATE VIEW photos AS
SELECT
    p.seq, p.at, p.check_id, p.door, p.person, p.question, p.answer, json_extract(p.body, '$.photo_sha256') AS photo_sha256
FROM entries AS p
WHERE p.kind = 'photographed' AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind = 'photographed' AND later.check_id = p.check_id AND later.seq > p.seq
        AND json_extract(later.body, '$.photo_sha256') = json_extract(p.body, '$.photo_sha256')
);

DROP VIEW notes;

-- Notes in force: not amended since, and not emptied by an amendment.
CREATE VIEW notes AS
SELECT
    n.seq, n.at, n.check_id, n.door, n.person, json_extract(n.body, '$.text') AS text,
    json_extract(n.body, '$.audio_sha256') AS audio_sha256, json_extract(n.body, '$.photo_sha256') AS photo_sha256
FROM entries AS n
WHERE n.kind = 'noted' AND coalesce(json_extract(n.body, '$.text'), json_extract(n.body, '$.audio_sha256')) <> ''
    AND NOT EXISTS (
        SELECT 1 FROM entries AS later
        WHERE later.kind = 'noted' AND json_extract(later.body, '$.amends') = n.seq
    );
