CREATE TABLE checklists (
    hash TEXT PRIMARY KEY NOT NULL CHECK (length(hash) = 64),
    checklist TEXT NOT NULL CHECK (json_valid(checklist))
) STRICT;

-- AUTOINCREMENT: SQLite then remembers the highest number ever assigned, which reveals truncated
-- entries.
-- The generated columns store nothing themselves; they let indexes cover parts of the body.
CREATE TABLE entries (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    at TEXT NOT NULL CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9].[0-9][0-9][0-9][0-9][0-9][0-9]Z'),
    zone TEXT NOT NULL,
    kind TEXT NOT NULL,
    door TEXT,
    check_id TEXT,
    person TEXT NOT NULL,
    body TEXT NOT NULL CHECK (json_valid(body)),
    before TEXT NOT NULL,
    hash TEXT NOT NULL CHECK (length(hash) = 64),
    site TEXT AS (coalesce(json_extract(body, '$.door.site'), json_extract(body, '$.site'), '')),
    building TEXT AS (coalesce(json_extract(body, '$.door.building'), json_extract(body, '$.building'), '')),
    question TEXT AS (json_extract(body, '$.question')),
    answer TEXT AS (CASE kind WHEN 'answered' THEN json_extract(body, '$.id') ELSE json_extract(body, '$.answer') END),
    corrects TEXT AS (json_extract(body, '$.corrects'))
) STRICT;

CREATE TABLE talks (
    talk TEXT PRIMARY KEY NOT NULL,
    position TEXT NOT NULL CHECK (json_valid(position)),
    checklist TEXT NOT NULL REFERENCES checklists (hash),
    door TEXT NOT NULL,
    updated TEXT NOT NULL
) STRICT;

CREATE INDEX talks_by_checklist ON talks (checklist);

CREATE TABLE heard (
    talk TEXT NOT NULL,
    incoming TEXT NOT NULL,
    said TEXT NOT NULL CHECK (json_valid(said)),
    PRIMARY KEY (talk, incoming)
) STRICT, WITHOUT ROWID;

CREATE INDEX entries_by_time ON entries (at);
CREATE INDEX entries_by_door ON entries (door, kind, seq) WHERE door IS NOT NULL;
CREATE INDEX entries_by_check ON entries (check_id, kind, seq) WHERE check_id IS NOT NULL;
CREATE INDEX entries_of_register ON entries (door, site, building, seq) WHERE kind IN ('door added', 'door changed');
CREATE INDEX entries_of_starts ON entries (door, site, building, seq) WHERE kind = 'check started';
CREATE INDEX entries_of_answers ON entries (check_id, answer, seq) WHERE kind = 'answered';
CREATE INDEX entries_of_questions ON entries (check_id, question, seq) WHERE kind = 'answered';
CREATE INDEX entries_of_corrections ON entries (check_id, corrects, seq) WHERE kind = 'answered' AND corrects IS NOT NULL;
CREATE INDEX entries_of_withdrawals ON entries (check_id, answer, seq) WHERE kind = 'withdrawn';
CREATE INDEX entries_of_findings ON entries (check_id, answer, seq) WHERE kind = 'found';
CREATE INDEX entries_of_signatures ON entries (person, seq) WHERE kind = 'signed';
CREATE INDEX entries_of_people ON entries (kind) WHERE kind = 'person added';
