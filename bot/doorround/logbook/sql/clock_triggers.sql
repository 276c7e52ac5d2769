CREATE TRIGGER due_of_visits AFTER INSERT ON entries WHEN NEW.kind IN ('signed', 'access refused') BEGIN
    INSERT INTO visited (seq, number, site, building, check_id, person, at, seen, doubted)
    SELECT seq, number, site, building, check_id, person, at, seen, doubted FROM visits_entered
    WHERE seq = NEW.seq AND number IS NOT NULL;
    UPDATE standing SET
        checked = CASE WHEN v.seen THEN v.at ELSE checked END, by = CASE WHEN v.seen THEN v.person ELSE by END,
        tried = CASE WHEN v.seen THEN NULL ELSE v.at END, tries = CASE WHEN v.seen THEN 0 ELSE tries + 1 END
    FROM visited AS v
    WHERE v.seq = NEW.seq AND NOT v.doubted AND standing.number = v.number AND standing.site = v.site
        AND standing.building = v.building;
END;

CREATE TRIGGER due_of_clock AFTER INSERT ON entries
WHEN NEW.kind = 'clock trusted' AND json_extract(NEW.body, '$.right') BEGIN
    UPDATE visited SET doubted = e.doubted FROM visits_entered AS e
    WHERE e.seq = visited.seq AND (visited.doubted OR visited.at > json_extract(NEW.body, '$.until'));
    UPDATE standing SET checked = s.checked, by = s.by, tried = s.tried, tries = s.tries
    FROM standing_entered AS s
    WHERE standing.number = s.number AND standing.site = s.site AND standing.building = s.building;
END;
