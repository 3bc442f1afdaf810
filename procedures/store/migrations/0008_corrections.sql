-- Which welds were corrected, withdrawn or told of later, in what order: who keeps
-- welds in mind then reads those again and not the whole notebook. The latest are
-- enough.
CREATE TABLE corrections (
  n    INTEGER PRIMARY KEY AUTOINCREMENT,
  weld INTEGER NOT NULL REFERENCES welds (n)
) STRICT;
