CREATE TRIGGER due_of_doors AFTER INSERT ON entries WHEN NEW.kind IN ('door added', 'door changed') BEGIN
    INSERT INTO door_status (number, site, building, floor, place, use, added)
    SELECT
        NEW.door, NEW.site, NEW.building, coalesce(json_extract(door, '$.floor'), ''),
        coalesce(json_extract(door, '$.place'), ''), json_extract(door, '$.use'), NEW.at
    FROM (SELECT coalesce(json_extract(NEW.body, '$.door'), NEW.body) AS door)
    WHERE true
    ON CONFLICT (number, site, building) DO UPDATE
        SET floor = excluded.floor, place = excluded.place, use = excluded.use;
END;

CREATE TRIGGER due_of_moves AFTER INSERT ON entries WHEN NEW.kind IN ('door moved', 'door renumbered') BEGIN
    UPDATE visits SET number = NEW.door, site = NEW.site, building = NEW.building
    WHERE number = json_extract(NEW.body, '$.was.number') AND site = json_extract(NEW.body, '$.was.site')
        AND building = json_extract(NEW.body, '$.was.building');
    UPDATE door_status SET
        number = NEW.door, site = NEW.site, building = NEW.building,
        floor = coalesce(json_extract(NEW.body, '$.door.floor'), ''),
        place = coalesce(json_extract(NEW.body, '$.door.place'), ''), use = json_extract(NEW.body, '$.door.use')
    WHERE number = json_extract(NEW.body, '$.was.number') AND site = json_extract(NEW.body, '$.was.site')
        AND building = json_extract(NEW.body, '$.was.building');
END;

CREATE TRIGGER due_of_retirements AFTER INSERT ON entries WHEN NEW.kind IN ('door retired', 'door brought back') BEGIN
    UPDATE door_status SET retired = CASE NEW.kind WHEN 'door retired' THEN NEW.at END
    WHERE number = NEW.door AND site = NEW.site AND building = NEW.building;
END;

CREATE TRIGGER due_of_visits AFTER INSERT ON entries
WHEN NEW.kind IN ('signed', 'access refused', 'checked before') BEGIN
    INSERT INTO visits (seq, number, site, building, check_id, person, at, seen, doubted, entered)
    SELECT seq, number, site, building, check_id, person, at, seen, doubted, entered FROM visits_entered
    WHERE seq = NEW.seq AND number IS NOT NULL;
    UPDATE door_status SET
        checked = CASE WHEN v.seen THEN v.at ELSE checked END,
        by = CASE WHEN v.seen THEN nullif(v.person, '') ELSE by END,
        tried = CASE WHEN v.seen THEN NULL ELSE max(coalesce(tried, ''), v.at) END,
        tries = CASE WHEN v.seen THEN 0 ELSE tries + 1 END
    FROM visits AS v
    WHERE v.seq = NEW.seq AND NOT v.doubted AND door_status.number = v.number AND door_status.site = v.site
        AND door_status.building = v.building AND NOT (v.seen AND v.entered IS NULL AND EXISTS (
            SELECT 1 FROM visits AS o
            WHERE o.number = v.number AND o.site = v.site AND o.building = v.building AND o.seen = 1 AND NOT o.doubted
                AND o.entered IS NULL AND o.seq < v.seq AND o.at > v.at
        ));
END;

CREATE TRIGGER due_of_clock AFTER INSERT ON entries
WHEN NEW.kind = 'clock trusted' AND json_extract(NEW.body, '$.right') BEGIN
    UPDATE visits SET doubted = e.doubted FROM visits_entered AS e
    WHERE e.seq = visits.seq AND (visits.doubted OR visits.at > json_extract(NEW.body, '$.until'));
    UPDATE door_status SET checked = s.checked, by = s.by, tried = s.tried, tries = s.tries
    FROM door_status_entered AS s
    WHERE door_status.number = s.number AND door_status.site = s.site AND door_status.building = s.building;
END;

CREATE TRIGGER due_of_withdrawn_earlier_checks AFTER INSERT ON entries WHEN NEW.kind = 'earlier check withdrawn' BEGIN
    UPDATE visits SET doubted = 1 WHERE seq = json_extract(NEW.body, '$.of') AND entered IS NOT NULL;
    UPDATE door_status SET checked = s.checked, by = s.by, tried = s.tried, tries = s.tries
    FROM door_status_entered AS s
    WHERE door_status.number = NEW.door AND door_status.site = NEW.site AND door_status.building = NEW.building
        AND door_status.number = s.number AND door_status.site = s.site AND door_status.building = s.building;
END;

CREATE TRIGGER due_of_plans AFTER INSERT ON entries WHEN NEW.kind = 'first check planned' BEGIN
    UPDATE door_status SET planned = json_extract(NEW.body, '$.on')
    WHERE number = NEW.door AND site = NEW.site AND building = NEW.building;
END;
