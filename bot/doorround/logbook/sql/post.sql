-- What came in, kept before it is acknowledged. outcome: NULL until it is dealt with. A set of ids, since a messenger may
-- begin to count anew.
CREATE TABLE inbox (
    id INTEGER PRIMARY KEY NOT NULL,
    chat TEXT NOT NULL,
    received TEXT NOT NULL,
    body TEXT NOT NULL CHECK (json_valid(body)),
    outcome TEXT
) STRICT;

CREATE INDEX inbox_waiting ON inbox (id) WHERE outcome IS NULL;
CREATE INDEX inbox_by_time ON inbox (received);

-- What goes out. key: names the message, so that it is written once. turn: how often the talk had moved on by then.
-- sending: handed over, and not known yet whether it arrived.
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

-- One chat of a messenger. turns: how often its talk moved on. moved_to: where the messenger moved it.
CREATE TABLE chats (
    chat TEXT PRIMARY KEY NOT NULL,
    person TEXT,
    turns INTEGER NOT NULL DEFAULT 0,
    moved_to TEXT UNIQUE,
    unreachable TEXT
) STRICT;

-- When a channel last heard from its messenger.
CREATE TABLE channels (
    channel TEXT PRIMARY KEY NOT NULL,
    heard TEXT NOT NULL
) STRICT;
