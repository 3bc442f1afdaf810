-- The circuit that a machine hangs on, as far as a person can read it without
-- opening anything; and stretches of arc that are withdrawn, which stay with why.

ALTER TABLE machines ADD COLUMN wall_awg INTEGER CHECK (wall_awg BETWEEN 6 AND 14 AND wall_awg % 2 = 0); -- of the copper in the wall
ALTER TABLE machines ADD COLUMN outlet TEXT CHECK (outlet IN ('5-15R', '5-20R', 'L5-30R', 'TT-30R'));
ALTER TABLE machines ADD COLUMN plug TEXT CHECK (plug IN ('5-15P', '5-20P', 'L5-30P', 'TT-30P')); -- on the machine's own cord
ALTER TABLE machines ADD COLUMN others TEXT CHECK (json_type(others) = 'array' AND json_array_length(others) BETWEEN 1 AND 20); -- what else runs on the circuit: each its name and amps

ALTER TABLE arcs ADD COLUMN struck TEXT CHECK (struck <> ''); -- why it was withdrawn
ALTER TABLE arcs ADD COLUMN struck_at TEXT CHECK ((struck IS NULL) = (struck_at IS NULL) AND coalesce(length(struck_at), 30) = 30);
