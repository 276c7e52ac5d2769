-- A summary's queries about the past read only entries of the relevant kinds, however long the
-- logbook is.
DROP INDEX entries_of_deeds;

CREATE INDEX entries_of_deeds ON entries (seq)
WHERE kind IN (
    'defect assigned', 'defect made good', 'defect noted', 'temporary measure', 'defect looked at', 'defect reopened',
    'defect named', 'defect is no fault'
);

DROP INDEX entries_of_crew;

CREATE INDEX entries_of_crew ON entries (seq) WHERE kind IN ('days off', 'snoozed', 'handed over', 'area given');

CREATE INDEX entries_of_reports ON entries (seq) WHERE kind = 'reported';

CREATE INDEX entries_retired ON entries (seq) WHERE kind IN ('door retired', 'door brought back');

CREATE INDEX entries_put_out ON entries (seq) WHERE kind IN ('door out of action', 'door fit again');

CREATE INDEX entries_of_the_register ON entries (seq)
WHERE kind IN (
    'door added', 'door changed', 'door moved', 'door renumbered', 'door retired', 'door brought back',
    'first check planned'
);
