CREATE TRIGGER entries_never_change BEFORE UPDATE ON entries BEGIN
    SELECT RAISE(ABORT, 'the logbook only grows: an entry is never changed, enter a correction');
END;

CREATE TRIGGER entries_never_go BEFORE DELETE ON entries BEGIN
    SELECT RAISE(ABORT, 'the logbook only grows: an entry is never deleted');
END;

-- Numbers continue after the highest ever assigned, so that entries truncated behind our back leave
-- a permanent gap.
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

-- Triggers rather than unique indexes: INSERT OR REPLACE from a connection without
-- recursive_triggers would silently delete the row that a unique index protects.
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

CREATE TRIGGER entries_keep_wording BEFORE INSERT ON entries WHEN NEW.kind = 'check started' BEGIN
    SELECT RAISE(ABORT, 'a check starts only with its checklist kept')
    WHERE NOT EXISTS (SELECT 1 FROM checklists WHERE hash = json_extract(NEW.body, '$.checklist_hash'));
END;

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
