CREATE INDEX entries_reminded ON entries (json_extract(body, '$.key')) WHERE kind = 'reminded';
CREATE INDEX entries_said ON entries (seq) WHERE kind = 'reminded';
CREATE INDEX entries_of_crew ON entries (seq) WHERE kind IN ('days off', 'snoozed', 'handed over');
