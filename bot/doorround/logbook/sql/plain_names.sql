-- Tables by names that say what is in them: was "heard", and "seeking".
ALTER TABLE heard RENAME TO processed_messages;
ALTER TABLE seeking RENAME TO door_search;
