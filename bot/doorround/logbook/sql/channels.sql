-- Inbox and outbox for several channels in one logbook. channel: name of the messenger. update_id:
-- the messenger's own id of an incoming message, message_id: of an outgoing one, both as text.
-- Existing rows belong to Telegram, the only channel so far.
CREATE TABLE inbox_of_channels (
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

INSERT INTO inbox_of_channels (id, channel, update_id, chat, received, body, album, outcome, tries)
SELECT
    id, 'telegram', CAST(id AS TEXT), chat, received, body,
    CAST(json_extract(body, '$.message.media_group_id') AS TEXT), outcome, tries
FROM inbox ORDER BY id;

DROP TABLE inbox;
ALTER TABLE inbox_of_channels RENAME TO inbox;

CREATE INDEX inbox_waiting ON inbox (id) WHERE outcome IS NULL;
CREATE INDEX inbox_by_time ON inbox (received);
CREATE INDEX inbox_by_chat ON inbox (chat, id);

CREATE TABLE outbox_of_channels (
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

-- Replies to an update are stored under the update's channel and id.
INSERT INTO outbox_of_channels (id, channel, message_id, chat, key, turn, body, state, tries, written, why)
SELECT
    id, 'telegram', CAST(message AS TEXT), chat, CASE WHEN key GLOB '[0-9]*/*' THEN 'telegram:' || key ELSE key END, turn,
    CASE WHEN json_extract(body, '$.reply_to') IS NULL THEN body
        ELSE json_set(body, '$.reply_to', CAST(json_extract(body, '$.reply_to') AS TEXT)) END,
    state, tries, written, why
FROM outbox ORDER BY id;

-- Buttons carry outbox numbers: none may ever be reused.
DELETE FROM sqlite_sequence WHERE name = 'outbox_of_channels';
INSERT INTO sqlite_sequence (name, seq) SELECT 'outbox_of_channels', seq FROM sqlite_sequence WHERE name = 'outbox';

DROP TABLE outbox;
ALTER TABLE outbox_of_channels RENAME TO outbox;

CREATE INDEX outbox_open ON outbox (chat, id) WHERE state IN ('waiting', 'sending');
CREATE INDEX outbox_by_chat ON outbox (chat, id);
CREATE INDEX outbox_by_time ON outbox (written);
CREATE INDEX outbox_to_forget ON outbox (id) WHERE json_extract(body, '$.forget');

-- Effects of a caretaker's message: ids of answers, numbers of notes, hashes of photos. waits: it
-- awaits confirmation. Needed for replies to it and edits of it, not by the logbook itself. seq:
-- order of insertion, which ids as text do not give.
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

INSERT INTO message_effects (chat, message_id, check_id, answers, notes, photos, waits, at)
SELECT chat, CAST(message AS TEXT), check_id, answers, notes, photos, waits, at FROM gave ORDER BY chat, message;

DROP TABLE gave;

CREATE INDEX message_effects_by_time ON message_effects (at);
