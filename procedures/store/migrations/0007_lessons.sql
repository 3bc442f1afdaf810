-- A recommender reads the latest welds of each joint, thickness, position and
-- machine, however many there are: see Lessons. Who looks for joint and
-- thickness alone uses the same index. The welds of a machine are wanted from
-- the latest on; those of a state have an index of their own.
DROP INDEX welds_by_job;
CREATE INDEX welds_by_job ON welds (joint, thickness_mm, position, machine);
DROP INDEX welds_by_machine;
CREATE INDEX welds_by_machine ON welds (machine, at);

-- A joint is looked for by the thickness of either part.
CREATE INDEX welds_by_other_part ON welds (joint, other_thickness_mm) WHERE other_thickness_mm IS NOT NULL;
