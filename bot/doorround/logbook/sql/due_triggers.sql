CREATE TRIGGER due_of_doors AFTER INSERT ON entries WHEN NEW.kind IN ('door added', 'door changed') BEGIN
    INSERT INTO standing (number, site, building, floor, place, use, added)
    SELECT
        NEW.door, NEW.site, NEW.building, coalesce(json_extract(door, '$.floor'), ''),
        coalesce(json_extract(door, '$.place'), ''), json_extract(door, '$.use'), NEW.at
    FROM (SELECT coalesce(json_extract(NEW.body, '$.door'), NEW.body) AS door)
    WHERE true
    ON CONFLICT (number, site, building) DO UPDATE
        SET floor = excluded.floor, place = excluded.place, use = excluded.use;
END;

CREATE TRIGGER due_of_visits AFTER INSERT ON entries WHEN NEW.kind IN ('signed', 'access refused') BEGIN
    INSERT INTO visited (seq, number, site, building, check_id, person, at, seen)
    SELECT seq, number, site, building, check_id, person, at, seen FROM visits_entered
    WHERE seq = NEW.seq AND number IS NOT NULL;
    UPDATE standing SET
        checked = CASE WHEN v.seen THEN v.at ELSE checked END, by = CASE WHEN v.seen THEN v.person ELSE by END,
        tried = CASE WHEN v.seen THEN NULL ELSE v.at END, tries = CASE WHEN v.seen THEN 0 ELSE tries + 1 END
    FROM visited AS v
    WHERE v.seq = NEW.seq AND standing.number = v.number AND standing.site = v.site AND standing.building = v.building;
END;
