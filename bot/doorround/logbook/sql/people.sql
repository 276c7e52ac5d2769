CREATE INDEX entries_about_people ON entries (json_extract(body, '$.name'), seq)
WHERE kind IN ('person added', 'person joined', 'role changed', 'person left');
CREATE INDEX entries_of_accounts ON entries (json_extract(body, '$.channel'), json_extract(body, '$.account'), seq)
WHERE kind = 'person joined';
CREATE INDEX entries_of_invites ON entries (json_extract(body, '$.invite'), seq)
WHERE kind IN ('person invited', 'invite withdrawn', 'person joined');
CREATE INDEX entries_of_groups ON entries (json_extract(body, '$.group'), seq) WHERE kind = 'group bound';
CREATE INDEX entries_of_tidying ON entries (seq) WHERE kind = 'recordings tidied';
CREATE INDEX entries_by_person ON entries (person, seq);

DROP VIEW people;

-- Everybody ever known, as last entered: each of these entries contains the name, the role and the
-- sites.
CREATE VIEW people AS
SELECT
    e.seq, json_extract(e.body, '$.name') AS name, json_extract(e.body, '$.role') AS role,
    coalesce(json_extract(e.body, '$.sites'), '[]') AS sites, e.kind = 'person left' AS gone,
    (
        SELECT min(first.at) FROM entries AS first
        WHERE first.kind IN ('person added', 'person joined', 'role changed', 'person left')
            AND json_extract(first.body, '$.name') = json_extract(e.body, '$.name')
    ) AS at
FROM entries AS e
WHERE e.kind IN ('person added', 'person joined', 'role changed', 'person left') AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind IN ('person added', 'person joined', 'role changed', 'person left')
        AND json_extract(later.body, '$.name') = json_extract(e.body, '$.name') AND later.seq > e.seq
);

-- The person of each account: the last to join with it, unless they have since left.
CREATE VIEW accounts AS
SELECT
    j.seq, j.at, json_extract(j.body, '$.channel') AS channel, json_extract(j.body, '$.account') AS account,
    json_extract(j.body, '$.name') AS name
FROM entries AS j
WHERE j.kind = 'person joined' AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind = 'person joined' AND json_extract(later.body, '$.channel') = json_extract(j.body, '$.channel')
        AND json_extract(later.body, '$.account') = json_extract(j.body, '$.account') AND later.seq > j.seq
) AND NOT EXISTS (
    SELECT 1 FROM entries AS gone INDEXED BY entries_about_people
    WHERE gone.kind IN ('person added', 'person joined', 'role changed', 'person left') AND gone.kind = 'person left'
        AND json_extract(gone.body, '$.name') = json_extract(j.body, '$.name') AND gone.seq > j.seq
);

CREATE VIEW invites AS
SELECT
    i.seq, i.at, i.person, i.body, json_extract(i.body, '$.invite') AS invite,
    (
        SELECT json_extract(j.body, '$.name') FROM entries AS j
        WHERE j.kind = 'person joined' AND json_extract(j.body, '$.invite') = json_extract(i.body, '$.invite')
    ) AS spent_by,
    EXISTS (
        SELECT 1 FROM entries AS w
        WHERE w.kind = 'invite withdrawn' AND json_extract(w.body, '$.invite') = json_extract(i.body, '$.invite')
    ) AS withdrawn
FROM entries AS i WHERE i.kind = 'person invited';

CREATE VIEW groups AS
SELECT g.seq, g.at, g.person, json_extract(g.body, '$.group') AS "group", json_extract(g.body, '$.site') AS site
FROM entries AS g
WHERE g.kind = 'group bound' AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind = 'group bound' AND json_extract(later.body, '$.group') = json_extract(g.body, '$.group')
        AND later.seq > g.seq
);

-- Strangers who contacted the bot. Plain rows, deleted after a day: strangers cannot make the
-- logbook grow.
CREATE TABLE strangers (
    account TEXT PRIMARY KEY NOT NULL,
    told TEXT,
    tries INTEGER NOT NULL,
    tried TEXT,
    updated TEXT NOT NULL
) STRICT;

-- People who opened an invite and were asked to agree.
CREATE TABLE joining (
    account TEXT PRIMARY KEY NOT NULL,
    invite TEXT NOT NULL,
    name TEXT NOT NULL,
    consent TEXT NOT NULL,
    updated TEXT NOT NULL
) STRICT;
