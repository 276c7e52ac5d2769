-- Where a talk stands that has no door yet: what it was offered, what was refused. Gone when its check begins.
CREATE TABLE seeking (
    talk TEXT PRIMARY KEY NOT NULL,
    stands TEXT NOT NULL CHECK (json_valid(stands)),
    updated TEXT NOT NULL
) STRICT;
