-- Tables renamed after their contents: were "heard" and "seeking".
ALTER TABLE heard RENAME TO processed_messages;
ALTER TABLE seeking RENAME TO door_search;
