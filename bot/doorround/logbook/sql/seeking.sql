-- State of a talk without a door yet: doors offered and refused. Deleted when its check begins.
CREATE TABLE seeking (
    talk TEXT PRIMARY KEY NOT NULL,
    stands TEXT NOT NULL CHECK (json_valid(stands)),
    updated TEXT NOT NULL
) STRICT;
