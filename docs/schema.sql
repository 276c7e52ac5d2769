-- The logbook's database after every migration. To read, not to run: what makes it
-- is bot/doorround/logbook/schema.py. Printed by `python -m scripts.print_schema --write`.

CREATE TABLE channels (
    channel TEXT PRIMARY KEY NOT NULL,
    heard TEXT NOT NULL
) STRICT;

CREATE TABLE chats (
    chat TEXT PRIMARY KEY NOT NULL,
    person TEXT,
    turns INTEGER NOT NULL DEFAULT 0,
    moved_to TEXT UNIQUE,
    unreachable TEXT
, menu TEXT) STRICT;

CREATE TABLE checklists (
    hash TEXT PRIMARY KEY NOT NULL CHECK (length(hash) = 64),
    checklist TEXT NOT NULL CHECK (json_valid(checklist))
) STRICT;

CREATE TABLE door_names (
    number TEXT NOT NULL,
    site TEXT NOT NULL,
    building TEXT NOT NULL,
    since INTEGER NOT NULL,
    until INTEGER,
    id INTEGER NOT NULL,
    PRIMARY KEY (number, site, building, since)
) STRICT, WITHOUT ROWID;

CREATE TABLE "door_search" (
    talk TEXT PRIMARY KEY NOT NULL,
    stands TEXT NOT NULL CHECK (json_valid(stands)),
    updated TEXT NOT NULL
) STRICT;

CREATE TABLE "door_status" (
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
    tries INTEGER NOT NULL DEFAULT 0, retired TEXT, planned TEXT,
    PRIMARY KEY (number, site, building)
) STRICT, WITHOUT ROWID;

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

CREATE TABLE "inbox" (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    channel TEXT NOT NULL,
    update_id TEXT NOT NULL,
    chat TEXT NOT NULL,
    received TEXT NOT NULL,
    body TEXT NOT NULL CHECK (json_valid(body)),
    album TEXT,
    outcome TEXT,
    tries INTEGER NOT NULL DEFAULT 0,
    UNIQUE (channel, update_id)
) STRICT;

CREATE TABLE joining (
    account TEXT PRIMARY KEY NOT NULL,
    invite TEXT NOT NULL,
    name TEXT NOT NULL,
    consent TEXT NOT NULL,
    updated TEXT NOT NULL
) STRICT;

CREATE TABLE message_effects (
    seq INTEGER PRIMARY KEY NOT NULL,
    chat TEXT NOT NULL,
    message_id TEXT NOT NULL,
    check_id TEXT,
    answers TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(answers)),
    notes TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(notes)),
    photos TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(photos)),
    waits INTEGER NOT NULL DEFAULT 0,
    at TEXT NOT NULL,
    UNIQUE (chat, message_id)
) STRICT;

CREATE TABLE "outbox" (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    channel TEXT NOT NULL,
    message_id TEXT,
    chat TEXT NOT NULL,
    key TEXT NOT NULL UNIQUE,
    turn INTEGER NOT NULL,
    body TEXT NOT NULL CHECK (json_valid(body)),
    state TEXT NOT NULL DEFAULT 'waiting' CHECK (state IN ('waiting', 'sending', 'sent', 'dropped')),
    tries INTEGER NOT NULL DEFAULT 0,
    written TEXT NOT NULL,
    why TEXT
) STRICT;

CREATE TABLE "processed_messages" (
    talk TEXT NOT NULL,
    incoming TEXT NOT NULL,
    said TEXT NOT NULL CHECK (json_valid(said)),
    PRIMARY KEY (talk, incoming)
) STRICT, WITHOUT ROWID;

CREATE TABLE recordings_sent (
    audio_sha256 TEXT NOT NULL CHECK (length(audio_sha256) = 64),
    person TEXT NOT NULL,
    PRIMARY KEY (person, audio_sha256)
) STRICT, WITHOUT ROWID;

CREATE TABLE row_digests (
    of TEXT NOT NULL,
    digest TEXT NOT NULL CHECK (length(digest) = 64),
    PRIMARY KEY (of, digest)
) STRICT, WITHOUT ROWID;

CREATE TABLE strangers (
    account TEXT PRIMARY KEY NOT NULL,
    told TEXT,
    tries INTEGER NOT NULL,
    tried TEXT,
    updated TEXT NOT NULL
) STRICT;

CREATE TABLE talks (
    talk TEXT PRIMARY KEY NOT NULL,
    position TEXT NOT NULL CHECK (json_valid(position)),
    checklist TEXT NOT NULL REFERENCES checklists (hash),
    door TEXT NOT NULL,
    updated TEXT NOT NULL
) STRICT;

CREATE TABLE "visits" (
    seq INTEGER PRIMARY KEY NOT NULL,
    number TEXT NOT NULL,
    site TEXT NOT NULL,
    building TEXT NOT NULL,
    check_id TEXT,
    person TEXT NOT NULL,
    at TEXT NOT NULL,
    seen INTEGER NOT NULL CHECK (seen IN (0, 1))
, doubted INTEGER NOT NULL DEFAULT 0 CHECK (doubted IN (0, 1)), entered TEXT) STRICT;

CREATE INDEX door_names_by_id ON door_names (id, since);

CREATE INDEX door_status_by_age ON door_status (use, checked);

CREATE INDEX door_status_by_building ON door_status (site, building);

CREATE INDEX door_status_by_check ON door_status (checked);

CREATE INDEX entries_about_people ON entries (json_extract(body, '$.name'), seq)
WHERE kind IN ('person added', 'person joined', 'role changed', 'person left');

CREATE INDEX entries_at_head_of_register ON entries (seq)
WHERE kind IN ('door added', 'door changed', 'door moved', 'door renumbered', 'door retired', 'door brought back');

CREATE INDEX entries_by_check ON entries (check_id, kind, seq) WHERE check_id IS NOT NULL;

CREATE INDEX entries_by_door ON entries (door, kind, seq) WHERE door IS NOT NULL;

CREATE INDEX entries_by_person ON entries (person, seq);

CREATE INDEX entries_by_time ON entries (at);

CREATE INDEX entries_found ON entries (seq) WHERE kind = 'found';

CREATE INDEX entries_of_accounts ON entries (json_extract(body, '$.channel'), json_extract(body, '$.account'), seq)
WHERE kind = 'person joined';

CREATE INDEX entries_of_amended_notes ON entries (json_extract(body, '$.amends'), seq) WHERE kind = 'noted';

CREATE INDEX entries_of_answers ON entries (check_id, answer, seq) WHERE kind = 'answered';

CREATE INDEX entries_of_clock ON entries (seq) WHERE kind IN ('clock doubted', 'clock trusted');

CREATE INDEX entries_of_corrections ON entries (check_id, corrects, seq) WHERE kind = 'answered' AND corrects IS NOT NULL;

CREATE INDEX entries_of_crew ON entries (seq) WHERE kind IN ('days off', 'snoozed', 'handed over', 'area given');

CREATE INDEX entries_of_deeds ON entries (seq)
WHERE kind IN (
    'defect assigned', 'defect made good', 'defect noted', 'temporary measure', 'defect looked at', 'defect reopened',
    'defect named', 'defect is no fault'
);

CREATE INDEX entries_of_descriptions ON entries (door, site, building, seq)
WHERE kind IN ('door added', 'door changed', 'door moved', 'door renumbered');

CREATE INDEX entries_of_findings ON entries (check_id, answer, seq) WHERE kind = 'found';

CREATE INDEX entries_of_groups ON entries (json_extract(body, '$.group'), seq) WHERE kind = 'group bound';

CREATE INDEX entries_of_invites ON entries (json_extract(body, '$.invite'), seq)
WHERE kind IN ('person invited', 'invite withdrawn', 'person joined');

CREATE INDEX entries_of_people ON entries (kind) WHERE kind = 'person added';

CREATE INDEX entries_of_photos ON entries (check_id, json_extract(body, '$.photo_sha256'), seq)
WHERE kind = 'photographed';

CREATE INDEX entries_of_plans ON entries (door, site, building, seq) WHERE kind = 'first check planned';

CREATE INDEX entries_of_questions ON entries (check_id, question, seq) WHERE kind = 'answered';

CREATE INDEX entries_of_reading ON entries (person, seq) WHERE kind = 'reading set';

CREATE INDEX entries_of_register ON entries (door, site, building, seq) WHERE kind IN ('door added', 'door changed');

CREATE INDEX entries_of_renames ON entries (seq) WHERE kind IN ('door moved', 'door renumbered');

CREATE INDEX entries_of_reports ON entries (seq) WHERE kind = 'reported';

CREATE INDEX entries_of_retirements ON entries (door, site, building, seq)
WHERE kind IN ('door retired', 'door brought back');

CREATE INDEX entries_of_settings ON entries (seq) WHERE kind = 'settings changed';

CREATE INDEX entries_of_signatures ON entries (person, seq) WHERE kind = 'signed';

CREATE INDEX entries_of_starts ON entries (door, site, building, seq) WHERE kind = 'check started';

CREATE INDEX entries_of_the_register ON entries (seq)
WHERE kind IN (
    'door added', 'door changed', 'door moved', 'door renumbered', 'door retired', 'door brought back',
    'first check planned'
);

CREATE INDEX entries_of_tidying ON entries (seq) WHERE kind = 'recordings tidied';

CREATE INDEX entries_of_withdrawals ON entries (check_id, answer, seq) WHERE kind = 'withdrawn';

CREATE INDEX entries_of_withdrawn_earlier_checks ON entries (json_extract(body, '$.of'))
WHERE kind = 'earlier check withdrawn';

CREATE INDEX entries_out ON entries (door, site, building, seq) WHERE kind IN ('door out of action', 'door fit again');

CREATE INDEX entries_put_out ON entries (seq) WHERE kind IN ('door out of action', 'door fit again');

CREATE INDEX entries_reminded ON entries (json_extract(body, '$.key')) WHERE kind = 'reminded';

CREATE INDEX entries_retired ON entries (seq) WHERE kind IN ('door retired', 'door brought back');

CREATE INDEX entries_said ON entries (seq) WHERE kind = 'reminded';

CREATE UNIQUE INDEX "idx__sqlite_migrations_migration_set_name"
    ON "_sqlite_migrations" ("migration_set", "name");

CREATE INDEX inbox_by_chat ON inbox (chat, id);

CREATE INDEX inbox_by_time ON inbox (received);

CREATE INDEX inbox_waiting ON inbox (id) WHERE outcome IS NULL;

CREATE INDEX message_effects_by_time ON message_effects (at);

CREATE INDEX outbox_by_chat ON outbox (chat, id);

CREATE INDEX outbox_by_time ON outbox (written);

CREATE INDEX outbox_open ON outbox (chat, id) WHERE state IN ('waiting', 'sending');

CREATE INDEX outbox_to_forget ON outbox (id) WHERE json_extract(body, '$.forget');

CREATE INDEX talks_by_checklist ON talks (checklist);

CREATE INDEX visits_by_door ON visits (number, site, building, seen, seq);

CREATE INDEX visits_by_time ON visits (at);

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

CREATE VIEW findings AS
SELECT f.seq, f.at, f.check_id, f.door, f.person, f.answer, json_remove(f.body, '$.answer') AS finding
FROM entries AS f
JOIN answers AS a ON a.check_id = f.check_id AND a.answer = f.answer
WHERE f.kind = 'found' AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind = 'found' AND later.check_id = f.check_id AND later.answer = f.answer AND later.seq > f.seq
        AND json_extract(later.body, '$.rule') = json_extract(f.body, '$.rule')
);

CREATE VIEW groups AS
SELECT g.seq, g.at, g.person, json_extract(g.body, '$.group') AS "group", json_extract(g.body, '$.site') AS site
FROM entries AS g
WHERE g.kind = 'group bound' AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind = 'group bound' AND json_extract(later.body, '$.group') = json_extract(g.body, '$.group')
        AND later.seq > g.seq
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

CREATE VIEW photos AS
SELECT
    p.seq, p.at, p.check_id, p.door, p.person, p.question, p.answer, json_extract(p.body, '$.photo_sha256') AS photo_sha256
FROM entries AS p
WHERE p.kind = 'photographed' AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind = 'photographed' AND later.check_id = p.check_id AND later.seq > p.seq
        AND json_extract(later.body, '$.photo_sha256') = json_extract(p.body, '$.photo_sha256')
);

CREATE VIEW reading AS
SELECT e.person, json_extract(e.body, '$.aloud') AS aloud
FROM entries AS e
WHERE e.kind = 'reading set' AND NOT EXISTS (
    SELECT 1 FROM entries AS later
    WHERE later.kind = 'reading set' AND later.person = e.person AND later.seq > e.seq
);

CREATE VIEW sightings AS
SELECT o.*, g.at AS gone_at, g.person AS gone_by
FROM (
    SELECT
        f.seq, f.at, f.check_id, f.answer, c.number, c.site, c.building, f.person,
        json_remove(f.body, '$.answer') AS finding,
        (SELECT d.seq FROM entries AS d WHERE d.check_id = f.check_id AND d.kind = 'signed') AS signed,
        nullif(min(
            CASE WHEN NOT EXISTS (SELECT 1 FROM answers AS a WHERE a.check_id = f.check_id AND a.answer = f.answer) THEN (
                SELECT coalesce(min(l.seq), 9223372036854775807) FROM entries AS l
                WHERE l.check_id = f.check_id AND l.seq > f.seq AND (
                    (l.kind = 'withdrawn' AND l.answer = f.answer)
                    OR (l.kind = 'answered' AND (l.corrects = f.answer OR l.question = json_extract(f.body, '$.question')))
                )
            ) ELSE 9223372036854775807 END,
            (
                SELECT coalesce(min(w.seq), 9223372036854775807) FROM entries AS w
                WHERE w.kind = 'found' AND w.check_id = f.check_id AND w.answer = f.answer AND w.seq > f.seq
                    AND json_extract(w.body, '$.rule') = json_extract(f.body, '$.rule')
                    AND json_extract(w.body, '$.verdict') NOT IN ('defect', 'act now')
                    AND NOT coalesce(json_extract(w.body, '$.made_good'), 0)
            ),
            CASE WHEN json_extract(f.body, '$.verdict') <> 'act now' THEN (
                SELECT coalesce(min(x.seq), 9223372036854775807) FROM entries AS x
                WHERE x.check_id = f.check_id AND x.kind = 'cancelled'
            ) ELSE 9223372036854775807 END
        ), 9223372036854775807) AS gone
    FROM entries AS f
    JOIN entries AS s ON s.check_id = f.check_id AND s.kind = 'check started'
    JOIN door_names AS n ON n.number = s.door AND n.site = s.site AND n.building = s.building AND n.since < s.seq
        AND (n.until IS NULL OR s.seq < n.until)
    JOIN door_names AS c ON c.id = n.id AND c.until IS NULL
    WHERE f.kind = 'found'
        AND (json_extract(f.body, '$.verdict') IN ('defect', 'act now') OR json_extract(f.body, '$.made_good'))
) AS o
LEFT JOIN entries AS g ON g.seq = o.gone;

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

CREATE TRIGGER checklists_never_change BEFORE UPDATE ON checklists BEGIN
    SELECT RAISE(ABORT, 'the logbook only grows: a checklist that was used is never changed');
END;

CREATE TRIGGER checklists_never_go BEFORE DELETE ON checklists BEGIN
    SELECT RAISE(ABORT, 'the logbook only grows: a checklist that was used is never deleted');
END;

CREATE TRIGGER checklists_once BEFORE INSERT ON checklists
WHEN EXISTS (SELECT 1 FROM checklists WHERE hash = NEW.hash) BEGIN
    SELECT RAISE(ABORT, 'the logbook only grows: this checklist is kept already');
END;

CREATE TRIGGER digest_of_channels_added AFTER INSERT ON channels BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('channels', row_digest('channels', NEW.channel, NEW.heard));
END;

CREATE TRIGGER digest_of_channels_changed AFTER UPDATE ON channels BEGIN
    DELETE FROM row_digests WHERE of = 'channels' AND digest = row_digest('channels', OLD.channel, OLD.heard);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('channels', row_digest('channels', NEW.channel, NEW.heard));
END;

CREATE TRIGGER digest_of_channels_gone AFTER DELETE ON channels BEGIN
    DELETE FROM row_digests WHERE of = 'channels' AND digest = row_digest('channels', OLD.channel, OLD.heard);
END;

CREATE TRIGGER digest_of_chats_added AFTER INSERT ON chats BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('chats', row_digest('chats', NEW.chat, NEW.person, NEW.turns, NEW.moved_to, NEW.unreachable, NEW.menu));
END;

CREATE TRIGGER digest_of_chats_changed AFTER UPDATE ON chats BEGIN
    DELETE FROM row_digests WHERE of = 'chats' AND digest = row_digest('chats', OLD.chat, OLD.person, OLD.turns, OLD.moved_to, OLD.unreachable, OLD.menu);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('chats', row_digest('chats', NEW.chat, NEW.person, NEW.turns, NEW.moved_to, NEW.unreachable, NEW.menu));
END;

CREATE TRIGGER digest_of_chats_gone AFTER DELETE ON chats BEGIN
    DELETE FROM row_digests WHERE of = 'chats' AND digest = row_digest('chats', OLD.chat, OLD.person, OLD.turns, OLD.moved_to, OLD.unreachable, OLD.menu);
END;

CREATE TRIGGER digest_of_checklists_added AFTER INSERT ON checklists BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('checklists', row_digest('checklists', NEW.hash, NEW.checklist));
END;

CREATE TRIGGER digest_of_checklists_changed AFTER UPDATE ON checklists BEGIN
    DELETE FROM row_digests WHERE of = 'checklists' AND digest = row_digest('checklists', OLD.hash, OLD.checklist);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('checklists', row_digest('checklists', NEW.hash, NEW.checklist));
END;

CREATE TRIGGER digest_of_checklists_gone AFTER DELETE ON checklists BEGIN
    DELETE FROM row_digests WHERE of = 'checklists' AND digest = row_digest('checklists', OLD.hash, OLD.checklist);
END;

CREATE TRIGGER digest_of_door_search_added AFTER INSERT ON door_search BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('door_search', row_digest('door_search', NEW.talk, NEW.stands, NEW.updated));
END;

CREATE TRIGGER digest_of_door_search_changed AFTER UPDATE ON door_search BEGIN
    DELETE FROM row_digests WHERE of = 'door_search' AND digest = row_digest('door_search', OLD.talk, OLD.stands, OLD.updated);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('door_search', row_digest('door_search', NEW.talk, NEW.stands, NEW.updated));
END;

CREATE TRIGGER digest_of_door_search_gone AFTER DELETE ON door_search BEGIN
    DELETE FROM row_digests WHERE of = 'door_search' AND digest = row_digest('door_search', OLD.talk, OLD.stands, OLD.updated);
END;

CREATE TRIGGER digest_of_inbox_added AFTER INSERT ON inbox BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('inbox', row_digest('inbox', NEW.id, NEW.channel, NEW.update_id, NEW.chat, NEW.received, NEW.body, NEW.album, NEW.outcome, NEW.tries));
END;

CREATE TRIGGER digest_of_inbox_changed AFTER UPDATE ON inbox BEGIN
    DELETE FROM row_digests WHERE of = 'inbox' AND digest = row_digest('inbox', OLD.id, OLD.channel, OLD.update_id, OLD.chat, OLD.received, OLD.body, OLD.album, OLD.outcome, OLD.tries);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('inbox', row_digest('inbox', NEW.id, NEW.channel, NEW.update_id, NEW.chat, NEW.received, NEW.body, NEW.album, NEW.outcome, NEW.tries));
END;

CREATE TRIGGER digest_of_inbox_gone AFTER DELETE ON inbox BEGIN
    DELETE FROM row_digests WHERE of = 'inbox' AND digest = row_digest('inbox', OLD.id, OLD.channel, OLD.update_id, OLD.chat, OLD.received, OLD.body, OLD.album, OLD.outcome, OLD.tries);
END;

CREATE TRIGGER digest_of_joining_added AFTER INSERT ON joining BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('joining', row_digest('joining', NEW.account, NEW.invite, NEW.name, NEW.consent, NEW.updated));
END;

CREATE TRIGGER digest_of_joining_changed AFTER UPDATE ON joining BEGIN
    DELETE FROM row_digests WHERE of = 'joining' AND digest = row_digest('joining', OLD.account, OLD.invite, OLD.name, OLD.consent, OLD.updated);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('joining', row_digest('joining', NEW.account, NEW.invite, NEW.name, NEW.consent, NEW.updated));
END;

CREATE TRIGGER digest_of_joining_gone AFTER DELETE ON joining BEGIN
    DELETE FROM row_digests WHERE of = 'joining' AND digest = row_digest('joining', OLD.account, OLD.invite, OLD.name, OLD.consent, OLD.updated);
END;

CREATE TRIGGER digest_of_message_effects_added AFTER INSERT ON message_effects BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('message_effects', row_digest('message_effects', NEW.seq, NEW.chat, NEW.message_id, NEW.check_id, NEW.answers, NEW.notes, NEW.photos, NEW.waits, NEW.at));
END;

CREATE TRIGGER digest_of_message_effects_changed AFTER UPDATE ON message_effects BEGIN
    DELETE FROM row_digests WHERE of = 'message_effects' AND digest = row_digest('message_effects', OLD.seq, OLD.chat, OLD.message_id, OLD.check_id, OLD.answers, OLD.notes, OLD.photos, OLD.waits, OLD.at);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('message_effects', row_digest('message_effects', NEW.seq, NEW.chat, NEW.message_id, NEW.check_id, NEW.answers, NEW.notes, NEW.photos, NEW.waits, NEW.at));
END;

CREATE TRIGGER digest_of_message_effects_gone AFTER DELETE ON message_effects BEGIN
    DELETE FROM row_digests WHERE of = 'message_effects' AND digest = row_digest('message_effects', OLD.seq, OLD.chat, OLD.message_id, OLD.check_id, OLD.answers, OLD.notes, OLD.photos, OLD.waits, OLD.at);
END;

CREATE TRIGGER digest_of_outbox_added AFTER INSERT ON outbox BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('outbox', row_digest('outbox', NEW.id, NEW.channel, NEW.message_id, NEW.chat, NEW.key, NEW.turn, NEW.body, NEW.state, NEW.tries, NEW.written, NEW.why));
END;

CREATE TRIGGER digest_of_outbox_changed AFTER UPDATE ON outbox BEGIN
    DELETE FROM row_digests WHERE of = 'outbox' AND digest = row_digest('outbox', OLD.id, OLD.channel, OLD.message_id, OLD.chat, OLD.key, OLD.turn, OLD.body, OLD.state, OLD.tries, OLD.written, OLD.why);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('outbox', row_digest('outbox', NEW.id, NEW.channel, NEW.message_id, NEW.chat, NEW.key, NEW.turn, NEW.body, NEW.state, NEW.tries, NEW.written, NEW.why));
END;

CREATE TRIGGER digest_of_outbox_gone AFTER DELETE ON outbox BEGIN
    DELETE FROM row_digests WHERE of = 'outbox' AND digest = row_digest('outbox', OLD.id, OLD.channel, OLD.message_id, OLD.chat, OLD.key, OLD.turn, OLD.body, OLD.state, OLD.tries, OLD.written, OLD.why);
END;

CREATE TRIGGER digest_of_processed_messages_added AFTER INSERT ON processed_messages BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('processed_messages', row_digest('processed_messages', NEW.talk, NEW.incoming, NEW.said));
END;

CREATE TRIGGER digest_of_processed_messages_changed AFTER UPDATE ON processed_messages BEGIN
    DELETE FROM row_digests WHERE of = 'processed_messages' AND digest = row_digest('processed_messages', OLD.talk, OLD.incoming, OLD.said);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('processed_messages', row_digest('processed_messages', NEW.talk, NEW.incoming, NEW.said));
END;

CREATE TRIGGER digest_of_processed_messages_gone AFTER DELETE ON processed_messages BEGIN
    DELETE FROM row_digests WHERE of = 'processed_messages' AND digest = row_digest('processed_messages', OLD.talk, OLD.incoming, OLD.said);
END;

CREATE TRIGGER digest_of_recordings_sent_added AFTER INSERT ON recordings_sent BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('recordings_sent', row_digest('recordings_sent', NEW.audio_sha256, NEW.person));
END;

CREATE TRIGGER digest_of_recordings_sent_changed AFTER UPDATE ON recordings_sent BEGIN
    DELETE FROM row_digests WHERE of = 'recordings_sent' AND digest = row_digest('recordings_sent', OLD.audio_sha256, OLD.person);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('recordings_sent', row_digest('recordings_sent', NEW.audio_sha256, NEW.person));
END;

CREATE TRIGGER digest_of_recordings_sent_gone AFTER DELETE ON recordings_sent BEGIN
    DELETE FROM row_digests WHERE of = 'recordings_sent' AND digest = row_digest('recordings_sent', OLD.audio_sha256, OLD.person);
END;

CREATE TRIGGER digest_of_strangers_added AFTER INSERT ON strangers BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('strangers', row_digest('strangers', NEW.account, NEW.told, NEW.tries, NEW.tried, NEW.updated));
END;

CREATE TRIGGER digest_of_strangers_changed AFTER UPDATE ON strangers BEGIN
    DELETE FROM row_digests WHERE of = 'strangers' AND digest = row_digest('strangers', OLD.account, OLD.told, OLD.tries, OLD.tried, OLD.updated);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('strangers', row_digest('strangers', NEW.account, NEW.told, NEW.tries, NEW.tried, NEW.updated));
END;

CREATE TRIGGER digest_of_strangers_gone AFTER DELETE ON strangers BEGIN
    DELETE FROM row_digests WHERE of = 'strangers' AND digest = row_digest('strangers', OLD.account, OLD.told, OLD.tries, OLD.tried, OLD.updated);
END;

CREATE TRIGGER digest_of_talks_added AFTER INSERT ON talks BEGIN
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('talks', row_digest('talks', NEW.talk, NEW.position, NEW.checklist, NEW.door, NEW.updated));
END;

CREATE TRIGGER digest_of_talks_changed AFTER UPDATE ON talks BEGIN
    DELETE FROM row_digests WHERE of = 'talks' AND digest = row_digest('talks', OLD.talk, OLD.position, OLD.checklist, OLD.door, OLD.updated);
    INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('talks', row_digest('talks', NEW.talk, NEW.position, NEW.checklist, NEW.door, NEW.updated));
END;

CREATE TRIGGER digest_of_talks_gone AFTER DELETE ON talks BEGIN
    DELETE FROM row_digests WHERE of = 'talks' AND digest = row_digest('talks', OLD.talk, OLD.position, OLD.checklist, OLD.door, OLD.updated);
END;

CREATE TRIGGER due_of_clock AFTER INSERT ON entries
WHEN NEW.kind = 'clock trusted' AND json_extract(NEW.body, '$.right') BEGIN
    UPDATE visits SET doubted = e.doubted FROM visits_entered AS e
    WHERE e.seq = visits.seq AND (visits.doubted OR visits.at > json_extract(NEW.body, '$.until'));
    UPDATE door_status SET checked = s.checked, by = s.by, tried = s.tried, tries = s.tries
    FROM door_status_entered AS s
    WHERE door_status.number = s.number AND door_status.site = s.site AND door_status.building = s.building;
END;

CREATE TRIGGER due_of_doors AFTER INSERT ON entries WHEN NEW.kind IN ('door added', 'door changed') BEGIN
    INSERT INTO door_status (number, site, building, floor, place, use, added)
    SELECT
        NEW.door, NEW.site, NEW.building, coalesce(json_extract(door, '$.floor'), ''),
        coalesce(json_extract(door, '$.place'), ''), json_extract(door, '$.use'), NEW.at
    FROM (SELECT coalesce(json_extract(NEW.body, '$.door'), NEW.body) AS door)
    WHERE true
    ON CONFLICT (number, site, building) DO UPDATE
        SET floor = excluded.floor, place = excluded.place, use = excluded.use;
END;

CREATE TRIGGER due_of_moves AFTER INSERT ON entries WHEN NEW.kind IN ('door moved', 'door renumbered') BEGIN
    UPDATE visits SET number = NEW.door, site = NEW.site, building = NEW.building
    WHERE number = json_extract(NEW.body, '$.was.number') AND site = json_extract(NEW.body, '$.was.site')
        AND building = json_extract(NEW.body, '$.was.building');
    UPDATE door_status SET
        number = NEW.door, site = NEW.site, building = NEW.building,
        floor = coalesce(json_extract(NEW.body, '$.door.floor'), ''),
        place = coalesce(json_extract(NEW.body, '$.door.place'), ''), use = json_extract(NEW.body, '$.door.use')
    WHERE number = json_extract(NEW.body, '$.was.number') AND site = json_extract(NEW.body, '$.was.site')
        AND building = json_extract(NEW.body, '$.was.building');
END;

CREATE TRIGGER due_of_plans AFTER INSERT ON entries WHEN NEW.kind = 'first check planned' BEGIN
    UPDATE door_status SET planned = json_extract(NEW.body, '$.on')
    WHERE number = NEW.door AND site = NEW.site AND building = NEW.building;
END;

CREATE TRIGGER due_of_retirements AFTER INSERT ON entries WHEN NEW.kind IN ('door retired', 'door brought back') BEGIN
    UPDATE door_status SET retired = CASE NEW.kind WHEN 'door retired' THEN NEW.at END
    WHERE number = NEW.door AND site = NEW.site AND building = NEW.building;
END;

CREATE TRIGGER due_of_visits AFTER INSERT ON entries
WHEN NEW.kind IN ('signed', 'access refused', 'checked before') BEGIN
    INSERT INTO visits (seq, number, site, building, check_id, person, at, seen, doubted, entered)
    SELECT seq, number, site, building, check_id, person, at, seen, doubted, entered FROM visits_entered
    WHERE seq = NEW.seq AND number IS NOT NULL;
    UPDATE door_status SET
        checked = CASE WHEN v.seen THEN v.at ELSE checked END,
        by = CASE WHEN v.seen THEN nullif(v.person, '') ELSE by END,
        tried = CASE WHEN v.seen THEN NULL ELSE max(coalesce(tried, ''), v.at) END,
        tries = CASE WHEN v.seen THEN 0 ELSE tries + 1 END
    FROM visits AS v
    WHERE v.seq = NEW.seq AND NOT v.doubted AND door_status.number = v.number AND door_status.site = v.site
        AND door_status.building = v.building AND NOT (v.seen AND v.entered IS NULL AND EXISTS (
            SELECT 1 FROM visits AS o
            WHERE o.number = v.number AND o.site = v.site AND o.building = v.building AND o.seen = 1 AND NOT o.doubted
                AND o.entered IS NULL AND o.seq < v.seq AND o.at > v.at
        ));
END;

CREATE TRIGGER due_of_withdrawn_earlier_checks AFTER INSERT ON entries WHEN NEW.kind = 'earlier check withdrawn' BEGIN
    UPDATE visits SET doubted = 1 WHERE seq = json_extract(NEW.body, '$.of') AND entered IS NOT NULL;
    UPDATE door_status SET checked = s.checked, by = s.by, tried = s.tried, tries = s.tries
    FROM door_status_entered AS s
    WHERE door_status.number = NEW.door AND door_status.site = NEW.site AND door_status.building = NEW.building
        AND door_status.number = s.number AND door_status.site = s.site AND door_status.building = s.building;
END;

CREATE TRIGGER entries_follow BEFORE INSERT ON entries BEGIN
    SELECT RAISE(ABORT, 'the logbook only grows: a new entry takes the next number')
    WHERE NEW.seq IS NOT 1 + max(
        coalesce((SELECT max(seq) FROM entries), 0),
        coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'entries'), 0)
    );
    SELECT RAISE(ABORT, 'a new entry names the hash of the last one')
    WHERE NEW.before IS NOT coalesce(
        (SELECT hash FROM entries WHERE seq = (SELECT max(seq) FROM entries)),
        '0000000000000000000000000000000000000000000000000000000000000000'
    );
END;

CREATE TRIGGER entries_join_once BEFORE INSERT ON entries WHEN NEW.kind = 'person joined' BEGIN
    SELECT RAISE(ABORT, 'this invite was used already')
    WHERE EXISTS (
        SELECT 1 FROM entries
        WHERE kind = 'person joined' AND json_extract(body, '$.invite') = json_extract(NEW.body, '$.invite')
    );
    SELECT RAISE(ABORT, 'nobody joins without an invite')
    WHERE NOT EXISTS (
        SELECT 1 FROM entries
        WHERE kind = 'person invited' AND json_extract(body, '$.invite') = json_extract(NEW.body, '$.invite')
    );
END;

CREATE TRIGGER entries_keep_wording BEFORE INSERT ON entries WHEN NEW.kind = 'check started' BEGIN
    SELECT RAISE(ABORT, 'a check starts only with its checklist kept')
    WHERE NOT EXISTS (SELECT 1 FROM checklists WHERE hash = json_extract(NEW.body, '$.checklist_hash'));
END;

CREATE TRIGGER entries_never_change BEFORE UPDATE ON entries BEGIN
    SELECT RAISE(ABORT, 'the logbook only grows: an entry is never changed, enter a correction');
END;

CREATE TRIGGER entries_never_go BEFORE DELETE ON entries BEGIN
    SELECT RAISE(ABORT, 'the logbook only grows: an entry is never deleted');
END;

CREATE TRIGGER entries_once BEFORE INSERT ON entries BEGIN
    SELECT RAISE(ABORT, 'this check has started already')
    WHERE NEW.kind = 'check started' AND EXISTS (
        SELECT 1 FROM entries WHERE check_id = NEW.check_id AND kind = 'check started'
    );
    SELECT RAISE(ABORT, 'this check is signed already')
    WHERE NEW.kind = 'signed' AND EXISTS (
        SELECT 1 FROM entries WHERE check_id = NEW.check_id AND kind = 'signed'
    );
    SELECT RAISE(ABORT, 'this answer stands in the logbook already')
    WHERE NEW.kind = 'answered' AND EXISTS (
        SELECT 1 FROM entries
        WHERE kind = 'answered' AND check_id = NEW.check_id AND answer = json_extract(NEW.body, '$.id')
    );
END;

CREATE TRIGGER names_of_doors AFTER INSERT ON entries
WHEN NEW.kind IN ('door added', 'door changed', 'door moved', 'door renumbered') BEGIN
    UPDATE door_names SET until = NEW.seq
    WHERE number = json_extract(NEW.body, '$.was.number') AND site = json_extract(NEW.body, '$.was.site')
        AND building = json_extract(NEW.body, '$.was.building') AND until IS NULL
        AND (number, site, building) <> (NEW.door, NEW.site, NEW.building);
    INSERT INTO door_names (number, site, building, since, id)
    SELECT NEW.door, NEW.site, NEW.building, NEW.seq, coalesce((
        SELECT id FROM door_names
        WHERE number = json_extract(NEW.body, '$.was.number') AND site = json_extract(NEW.body, '$.was.site')
            AND building = json_extract(NEW.body, '$.was.building') AND until = NEW.seq
    ), NEW.seq)
    WHERE NOT EXISTS (
        SELECT 1 FROM door_names
        WHERE number = NEW.door AND site = NEW.site AND building = NEW.building AND until IS NULL
    );
END;
