-- The books: entries that are added and never changed, and what each of them touches.

CREATE TABLE entry (
    -- AUTOINCREMENT keeps the highest number ever given out, so that a tail cut off shows.
    sequence     INTEGER PRIMARY KEY AUTOINCREMENT CHECK (sequence > 0),
    encoding     TEXT NOT NULL,     -- the rule by which it is hashed
    previous     TEXT NOT NULL,     -- hash of the entry before
    hash         TEXT NOT NULL,
    recorded_at  TEXT NOT NULL,     -- RFC 3339, UTC, nine decimals: sorts as text
    zone         TEXT NOT NULL,     -- time zone of the bench
    kind         TEXT NOT NULL,
    actor_id     TEXT NOT NULL,
    actor_name   TEXT NOT NULL,
    actor_how    TEXT NOT NULL,     -- typed, badge, pin or password
    station      TEXT NOT NULL,
    program      TEXT NOT NULL,
    amends       INTEGER REFERENCES entry (sequence) CHECK (amends < sequence),
    amends_check TEXT,              -- the first four digits of the amended entry's hash
    reason       TEXT,              -- why it amends
    job          INTEGER,           -- the job at a bench it was made from,
    job_events   INTEGER,           -- from so many of its events,
    job_hash     TEXT,              -- the last of which has this hash
    -- The long texts come last: what stands behind them in a row is slow to reach.
    inputs       TEXT NOT NULL,
    results      TEXT NOT NULL,
    editions     TEXT NOT NULL,
    words        TEXT NOT NULL,
    CHECK ((amends IS NULL) = (amends_check IS NULL) AND (amends IS NULL) = (reason IS NULL)),
    CHECK ((job IS NULL) = (job_events IS NULL) AND (job IS NULL) = (job_hash IS NULL))
) STRICT;

CREATE INDEX entry_by_hash ON entry (hash);
CREATE INDEX entry_by_kind ON entry (kind);
CREATE INDEX entry_by_time ON entry (recorded_at);
CREATE INDEX entry_by_actor ON entry (actor_name);
CREATE INDEX entry_by_amended ON entry (amends) WHERE amends IS NOT NULL;

-- The primary key is the recall index: from a thing to its entries, in order.
CREATE TABLE subject (
    role     TEXT NOT NULL,
    identity TEXT NOT NULL,
    sequence INTEGER NOT NULL REFERENCES entry (sequence),
    PRIMARY KEY (role, identity, sequence)
) STRICT, WITHOUT ROWID;

CREATE INDEX subject_by_entry ON subject (sequence);
-- For words of one or two letters, which the index of trigrams does not hold.
CREATE INDEX subject_by_identity ON subject (identity COLLATE NOCASE);

-- By which words a search finds an entry: who recorded it, why it amends and what it touches, in lower case. Never the
-- documents. A trigram is three letters in a row, so that any part of a word is found.
CREATE VIRTUAL TABLE search USING fts5 (text, tokenize = 'trigram case_sensitive 1', columnsize = 0);

-- Jobs at a bench: what happened, one event after the other, added and never changed. What comes of a job is an entry;
-- these are what it was made from, kept so that no reading is lost on the way.
CREATE TABLE bench_event (
    id         INTEGER PRIMARY KEY AUTOINCREMENT, -- 1 for the first of all jobs, without gaps
    job        INTEGER NOT NULL CHECK (job > 0),
    number     INTEGER NOT NULL CHECK (number > 0), -- 1 for the first of a job, without gaps
    at         TEXT NOT NULL,                       -- RFC 3339, UTC, nine decimals
    ends       INTEGER NOT NULL CHECK (ends IN (0, 1)),
    actor_id   TEXT NOT NULL,
    actor_name TEXT NOT NULL,
    actor_how  TEXT NOT NULL,
    station    TEXT NOT NULL,
    hash       TEXT NOT NULL,     -- over all of it but id, and over the hash of the event before
    event      TEXT NOT NULL,
    UNIQUE (job, number)
) STRICT;

CREATE INDEX bench_job_ended ON bench_event (job) WHERE ends = 1;

-- The guards. They stop a careless hand; against a deliberate one there are the chains of hashes.

CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never changed; amend it'); END;

CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never deleted; amend it'); END;

CREATE TRIGGER entry_follows_the_last BEFORE INSERT ON entry
WHEN NEW.sequence IS NOT 1 + coalesce((SELECT max(sequence) FROM entry), 0)
  OR NEW.previous IS NOT coalesce(
         (SELECT hash FROM entry ORDER BY sequence DESC LIMIT 1),
         '0000000000000000000000000000000000000000000000000000000000000000')
BEGIN SELECT RAISE(ABORT, 'an entry follows the last one'); END;

CREATE TRIGGER entry_is_amended_once BEFORE INSERT ON entry
WHEN EXISTS (SELECT 1 FROM entry WHERE amends = NEW.amends)
BEGIN SELECT RAISE(ABORT, 'an entry is amended once; amend its amendment'); END;

CREATE TRIGGER subject_is_never_changed BEFORE UPDATE ON subject
BEGIN SELECT RAISE(ABORT, 'a subject is never changed; amend the entry'); END;

CREATE TRIGGER subject_is_never_deleted BEFORE DELETE ON subject
BEGIN SELECT RAISE(ABORT, 'a subject is never deleted; amend the entry'); END;

CREATE TRIGGER subject_comes_with_its_entry BEFORE INSERT ON subject
WHEN NEW.sequence IS NOT (SELECT max(sequence) FROM entry)
BEGIN SELECT RAISE(ABORT, 'a subject is recorded with its entry'); END;

CREATE TRIGGER bench_event_is_never_changed BEFORE UPDATE ON bench_event
BEGIN SELECT RAISE(ABORT, 'an event of a job is never changed'); END;

CREATE TRIGGER bench_event_is_never_deleted BEFORE DELETE ON bench_event
BEGIN SELECT RAISE(ABORT, 'an event of a job is never deleted'); END;

CREATE TRIGGER bench_event_follows_the_last BEFORE INSERT ON bench_event
WHEN NEW.id IS NOT 1 + coalesce((SELECT max(id) FROM bench_event), 0)
  OR NEW.number IS NOT 1 + coalesce((SELECT max(number) FROM bench_event WHERE job = NEW.job), 0)
  OR EXISTS (SELECT 1 FROM bench_event WHERE job = NEW.job AND ends = 1)
BEGIN SELECT RAISE(ABORT, 'an event follows the last one of its job, and nothing follows the end'); END;
