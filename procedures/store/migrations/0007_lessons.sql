-- A recommender reads the latest welds of each joint, thickness, position and
-- machine, however many there are: see Lessons. Who looks for joint and
-- thickness alone uses the same index.
DROP INDEX welds_by_job;
CREATE INDEX welds_by_job ON welds (joint, thickness_mm, position, machine);
