-- SHA-256 of each row of the tables that no entry proves; row_digests.py says over what. One that was written and has no
-- row any more says that the row was changed or taken away behind the logbook's back.
CREATE TABLE row_digests (
    of TEXT NOT NULL,
    digest TEXT NOT NULL CHECK (length(digest) = 64),
    PRIMARY KEY (of, digest)
) STRICT, WITHOUT ROWID;
