-- The sender of each recording, stored immediately: one that was not understood is in no entry.
CREATE TABLE recordings_sent (
    audio_sha256 TEXT NOT NULL CHECK (length(audio_sha256) = 64),
    person TEXT NOT NULL,
    PRIMARY KEY (person, audio_sha256)
) STRICT, WITHOUT ROWID;

CREATE INDEX inbox_by_chat ON inbox (chat, id);
CREATE INDEX outbox_to_forget ON outbox (id) WHERE json_extract(body, '$.forget');
