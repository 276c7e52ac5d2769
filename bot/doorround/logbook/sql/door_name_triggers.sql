CREATE TRIGGER names_of_doors AFTER INSERT ON entries
WHEN NEW.kind IN ('door added', 'door changed', 'door moved', 'door renumbered') BEGIN
    UPDATE door_names SET until = NEW.seq
    WHERE number = json_extract(NEW.body, '$.was.number') AND site = json_extract(NEW.body, '$.was.site')
        AND building = json_extract(NEW.body, '$.was.building') AND until IS NULL
        AND (number, site, building) <> (NEW.door, NEW.site, NEW.building);
    INSERT INTO door_names (number, site, building, since, id)
    SELECT NEW.door, NEW.site, NEW.building, NEW.seq, coalesce((
        SELECT id FROM door_names
        WHERE number = json_extract(NEW.body, '$.was.number') AND site = json_extract(NEW.body, '$.was.site')
            AND building = json_extract(NEW.body, '$.was.building') AND until = NEW.seq
    ), NEW.seq)
    WHERE NOT EXISTS (
        SELECT 1 FROM door_names
        WHERE number = NEW.door AND site = NEW.site AND building = NEW.building AND until IS NULL
    );
END;

CREATE TRIGGER due_of_moves AFTER INSERT ON entries WHEN NEW.kind IN ('door moved', 'door renumbered') BEGIN
    UPDATE visited SET number = NEW.door, site = NEW.site, building = NEW.building
    WHERE number = json_extract(NEW.body, '$.was.number') AND site = json_extract(NEW.body, '$.was.site')
        AND building = json_extract(NEW.body, '$.was.building');
    UPDATE standing SET
        number = NEW.door, site = NEW.site, building = NEW.building,
        floor = coalesce(json_extract(NEW.body, '$.door.floor'), ''),
        place = coalesce(json_extract(NEW.body, '$.door.place'), ''), use = json_extract(NEW.body, '$.door.use')
    WHERE number = json_extract(NEW.body, '$.was.number') AND site = json_extract(NEW.body, '$.was.site')
        AND building = json_extract(NEW.body, '$.was.building');
END;

CREATE TRIGGER due_of_retirements AFTER INSERT ON entries WHEN NEW.kind IN ('door retired', 'door brought back') BEGIN
    UPDATE standing SET retired = CASE NEW.kind WHEN 'door retired' THEN NEW.at END
    WHERE number = NEW.door AND site = NEW.site AND building = NEW.building;
END;

CREATE TRIGGER due_of_visits AFTER INSERT ON entries
WHEN NEW.kind IN ('signed', 'access refused', 'checked before') BEGIN
    INSERT INTO visited (seq, number, site, building, check_id, person, at, seen, doubted, entered)
    SELECT seq, number, site, building, check_id, person, at, seen, doubted, entered FROM visits_entered
    WHERE seq = NEW.seq AND number IS NOT NULL;
    UPDATE standing SET
        checked = CASE WHEN v.seen THEN v.at ELSE checked END,
        by = CASE WHEN v.seen THEN nullif(v.person, '') ELSE by END,
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

CREATE TRIGGER due_of_withdrawn_earlier_checks AFTER INSERT ON entries WHEN NEW.kind = 'earlier check withdrawn' BEGIN
    UPDATE visited SET doubted = 1 WHERE seq = json_extract(NEW.body, '$.of') AND entered IS NOT NULL;
    UPDATE standing SET checked = s.checked, by = s.by, tried = s.tried, tries = s.tries
    FROM standing_entered AS s
    WHERE standing.number = NEW.door AND standing.site = NEW.site AND standing.building = NEW.building
        AND standing.number = s.number AND standing.site = s.site AND standing.building = s.building;
END;
