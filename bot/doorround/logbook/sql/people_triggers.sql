CREATE TRIGGER entries_join_once BEFORE INSERT ON entries WHEN NEW.kind = 'person joined' BEGIN
    SELECT RAISE(ABORT, 'this invite was used already')
    WHERE EXISTS (
        SELECT 1 FROM entries
        WHERE kind = 'person joined' AND json_extract(body, '$.invite') = json_extract(NEW.body, '$.invite')
    );
    SELECT RAISE(ABORT, 'nobody joins without an invite')
    WHERE NOT EXISTS (
        SELECT 1 FROM entries
        WHERE kind = 'person invited' AND json_extract(body, '$.invite') = json_extract(NEW.body, '$.invite')
    );
END;
