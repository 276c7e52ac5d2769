-- Effects of a caretaker's message: ids of answers, numbers of notes, hashes of photos. waits: it
-- awaits confirmation. Needed for replies to it and edits of it, not by the logbook itself.
CREATE TABLE gave (
    chat TEXT NOT NULL,
    message INTEGER NOT NULL,
    check_id TEXT,
    answers TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(answers)),
    notes TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(notes)),
    photos TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(photos)),
    waits INTEGER NOT NULL DEFAULT 0,
    at TEXT NOT NULL,
    PRIMARY KEY (chat, message)
) STRICT, WITHOUT ROWID;

CREATE INDEX gave_by_time ON gave (at);
