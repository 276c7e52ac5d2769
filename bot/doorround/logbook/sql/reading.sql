CREATE INDEX entries_of_reading ON entries (person, seq) WHERE kind = 'reading set';

-- Who last asked for questions to be read aloud, or not to be.
CREATE VIEW reading AS
SELECT e.person, json_extract(e.body, '$.aloud') AS aloud
FROM entries AS e
WHERE e.kind = 'reading set' AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind = 'reading set' AND later.person = e.person AND later.seq > e.seq
);
