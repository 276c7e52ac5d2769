-- The inbox: messages stored before they are acknowledged. outcome: NULL until processed. Ids are
-- kept as a set, since a messenger may restart its numbering.
CREATE TABLE inbox (
    id INTEGER PRIMARY KEY NOT NULL,
    chat TEXT NOT NULL,
    received TEXT NOT NULL,
    body TEXT NOT NULL CHECK (json_valid(body)),
    outcome TEXT
) STRICT;

CREATE INDEX inbox_waiting ON inbox (id) WHERE outcome IS NULL;
CREATE INDEX inbox_by_time ON inbox (received);

-- The outbox. key: idempotency key, so that a message is written once. turn: the talk's turn count
-- when written. sending: handed over, with arrival unknown.
CREATE TABLE outbox (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    chat TEXT NOT NULL,
    key TEXT NOT NULL UNIQUE,
    turn INTEGER NOT NULL,
    body TEXT NOT NULL CHECK (json_valid(body)),
    state TEXT NOT NULL DEFAULT 'waiting' CHECK (state IN ('waiting', 'sending', 'sent', 'dropped')),
    tries INTEGER NOT NULL DEFAULT 0,
    written TEXT NOT NULL,
    message INTEGER,
    why TEXT
) STRICT;

CREATE INDEX outbox_open ON outbox (chat, id) WHERE state IN ('waiting', 'sending');
CREATE INDEX outbox_by_chat ON outbox (chat, id);
CREATE INDEX outbox_by_time ON outbox (written);

-- A messenger's chats. turns: the talk's turn count. moved_to: the new id after a migration by the
-- messenger.
CREATE TABLE chats (
    chat TEXT PRIMARY KEY NOT NULL,
    person TEXT,
    turns INTEGER NOT NULL DEFAULT 0,
    moved_to TEXT UNIQUE,
    unreachable TEXT
) STRICT;

-- Last contact between each channel and its messenger.
CREATE TABLE channels (
    channel TEXT PRIMARY KEY NOT NULL,
    heard TEXT NOT NULL
) STRICT;
