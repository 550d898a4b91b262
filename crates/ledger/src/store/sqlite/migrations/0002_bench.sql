-- Jobs under way at a bench: what happened, one event after the other, added and never changed. What comes of a
-- job is an entry; these are the notes it was made from, kept so that no reading is lost on the way.

CREATE TABLE bench_event (
    job    INTEGER NOT NULL CHECK (job > 0),
    number INTEGER NOT NULL CHECK (number > 0),   -- 1 for the first of a job, without gaps
    at     TEXT NOT NULL,                         -- RFC 3339, UTC, nine decimals
    event  TEXT NOT NULL,
    ends   INTEGER NOT NULL CHECK (ends IN (0, 1)),
    PRIMARY KEY (job, number)
) STRICT, WITHOUT ROWID;

CREATE INDEX bench_job_ended ON bench_event (job) WHERE ends = 1;

CREATE TRIGGER bench_event_is_never_changed BEFORE UPDATE ON bench_event
BEGIN SELECT RAISE(ABORT, 'an event of a job is never changed'); END;

CREATE TRIGGER bench_event_is_never_deleted BEFORE DELETE ON bench_event
BEGIN SELECT RAISE(ABORT, 'an event of a job is never deleted'); END;

CREATE TRIGGER bench_event_follows_the_last BEFORE INSERT ON bench_event
WHEN NEW.number IS NOT 1 + coalesce((SELECT max(number) FROM bench_event WHERE job = NEW.job), 0)
  OR EXISTS (SELECT 1 FROM bench_event WHERE job = NEW.job AND ends = 1)
BEGIN SELECT RAISE(ABORT, 'an event follows the last one of its job, and nothing follows the end'); END;
