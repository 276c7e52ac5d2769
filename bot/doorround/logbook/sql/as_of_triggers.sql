CREATE TRIGGER due_of_visits AFTER INSERT ON entries
WHEN NEW.kind IN ('signed', 'access refused', 'checked before') BEGIN
    INSERT INTO visited (seq, number, site, building, check_id, person, at, seen, doubted, entered)
    SELECT seq, number, site, building, check_id, person, at, seen, doubted, entered FROM visits_entered
    WHERE seq = NEW.seq AND number IS NOT NULL;
    UPDATE standing SET
        checked = CASE WHEN v.seen THEN v.at ELSE checked END,
        by = CASE WHEN v.seen THEN nullif(v.person, '') ELSE by END,
        tried = CASE WHEN v.seen THEN NULL ELSE max(coalesce(tried, ''), v.at) END,
        tries = CASE WHEN v.seen THEN 0 ELSE tries + 1 END
    FROM visited AS v
    WHERE v.seq = NEW.seq AND NOT v.doubted AND standing.number = v.number AND standing.site = v.site
        AND standing.building = v.building AND NOT (v.seen AND v.entered IS NULL AND EXISTS (
            SELECT 1 FROM visited AS o
            WHERE o.number = v.number AND o.site = v.site AND o.building = v.building AND o.seen = 1 AND NOT o.doubted
                AND o.entered IS NULL AND o.seq < v.seq AND o.at > v.at
        ));
END;

CREATE TRIGGER due_of_clock AFTER INSERT ON entries
WHEN NEW.kind = 'clock trusted' AND json_extract(NEW.body, '$.right') BEGIN
    UPDATE visited SET doubted = e.doubted FROM visits_entered AS e
    WHERE e.seq = visited.seq AND (visited.doubted OR visited.at > json_extract(NEW.body, '$.until'));
    UPDATE standing SET checked = s.checked, by = s.by, tried = s.tried, tries = s.tries
    FROM standing_entered AS s
    WHERE standing.number = s.number AND standing.site = s.site AND standing.building = s.building;
END;

CREATE TRIGGER due_of_withdrawn_earlier_checks AFTER INSERT ON entries WHEN NEW.kind = 'earlier check withdrawn' BEGIN
    UPDATE visited SET doubted = 1 WHERE seq = json_extract(NEW.body, '$.of') AND entered IS NOT NULL;
    UPDATE standing SET checked = s.checked, by = s.by, tried = s.tried, tries = s.tries
    FROM standing_entered AS s
    WHERE standing.number = NEW.door AND standing.site = NEW.site AND standing.building = NEW.building
        AND standing.number = s.number AND standing.site = s.site AND standing.building = s.building;
END;

CREATE TRIGGER due_of_plans AFTER INSERT ON entries WHEN NEW.kind = 'first check planned' BEGIN
    UPDATE standing SET planned = json_extract(NEW.body, '$.on')
    WHERE number = NEW.door AND site = NEW.site AND building = NEW.building;
END;
