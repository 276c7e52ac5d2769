-- SHA-256 of each row of the tables that no entry proves; row_digests.py defines its input. A
-- digest without a matching row shows that the row was changed or deleted behind the logbook's
-- back.
CREATE TABLE row_digests (
    of TEXT NOT NULL,
    digest TEXT NOT NULL CHECK (length(digest) = 64),
    PRIMARY KEY (of, digest)
) STRICT, WITHOUT ROWID;
