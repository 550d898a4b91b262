-- The books of a shop: entries that are added and never changed, what each of them touches, and the events of jobs.
-- Run by the owner of the tables, in one transaction, in the schema `midflank`. All text is compared byte by byte.

CREATE TABLE entry (
    sequence     bigint PRIMARY KEY CHECK (sequence > 0),
    encoding     text COLLATE "C" NOT NULL,     -- the rule by which it is hashed
    previous     text COLLATE "C" NOT NULL,     -- hash of the entry before
    hash         text COLLATE "C" NOT NULL,
    recorded_at  text COLLATE "C" NOT NULL,     -- RFC 3339, UTC, nine decimals: sorts as text
    zone         text COLLATE "C" NOT NULL,     -- time zone of the bench
    kind         text COLLATE "C" NOT NULL,
    actor_id     text COLLATE "C" NOT NULL,
    actor_name   text COLLATE "C" NOT NULL,
    actor_how    text COLLATE "C" NOT NULL,     -- typed, badge, pin or password
    station      text COLLATE "C" NOT NULL,
    program      text COLLATE "C" NOT NULL,
    amends       bigint REFERENCES entry (sequence) CHECK (amends < sequence),
    amends_check text COLLATE "C",              -- the first four digits of the amended entry's hash
    reason       text COLLATE "C",              -- why it amends
    job          bigint,                        -- the job at a bench it was made from,
    job_events   bigint,                        -- from so many of its events,
    job_hash     text COLLATE "C",              -- the last of which has this hash
    inputs       text COLLATE "C" NOT NULL,
    results      text COLLATE "C" NOT NULL,
    editions     text COLLATE "C" NOT NULL,
    words        text COLLATE "C" NOT NULL,
    -- By which words a search finds it: who recorded it, why it amends and what it touches, in lower case.
    search       text COLLATE "C" NOT NULL,
    -- Of the transaction that added it: whoever was not answered looks here whether it was recorded.
    key          uuid NOT NULL,
    CHECK ((amends IS NULL) = (amends_check IS NULL) AND (amends IS NULL) = (reason IS NULL)),
    CHECK ((job IS NULL) = (job_events IS NULL) AND (job IS NULL) = (job_hash IS NULL))
);

CREATE INDEX entry_by_hash ON entry (hash);
CREATE INDEX entry_by_kind ON entry (kind, sequence);
CREATE INDEX entry_by_time ON entry (recorded_at);
CREATE INDEX entry_by_actor ON entry (actor_name, sequence);
CREATE UNIQUE INDEX entry_by_amended ON entry (amends) WHERE amends IS NOT NULL;
-- A trigram is three letters in a row, so that any part of a word is found.
CREATE INDEX entry_by_words ON entry USING gin (search gin_trgm_ops);

-- The primary key is the recall index: from a thing to its entries, in order.
CREATE TABLE subject (
    role     text COLLATE "C" NOT NULL,
    identity text COLLATE "C" NOT NULL,
    sequence bigint NOT NULL,
    PRIMARY KEY (role, identity, sequence)
);

CREATE INDEX subject_by_entry ON subject (sequence);
-- For words of one or two letters, which have no trigram.
CREATE INDEX subject_by_identity ON subject (lower(identity));

CREATE TABLE bench_event (
    id         bigint PRIMARY KEY CHECK (id > 0),        -- 1 for the first of all jobs, without gaps
    job        bigint NOT NULL CHECK (job > 0),
    number     bigint NOT NULL CHECK (number > 0),       -- 1 for the first of a job, without gaps
    at         text COLLATE "C" NOT NULL,                -- RFC 3339, UTC, nine decimals
    ends       bigint NOT NULL CHECK (ends IN (0, 1)),
    actor_id   text COLLATE "C" NOT NULL,
    actor_name text COLLATE "C" NOT NULL,
    actor_how  text COLLATE "C" NOT NULL,
    station    text COLLATE "C" NOT NULL,
    hash       text COLLATE "C" NOT NULL, -- over all of it but id and key, and over the hash of the event before
    event      text COLLATE "C" NOT NULL,
    key        uuid NOT NULL,
    UNIQUE (job, number)
);

CREATE INDEX bench_job_ended ON bench_event (job) WHERE ends = 1;

-- How many entries and events were ever added, so that a tail cut off shows. Only the guards below count.
CREATE TABLE issued (
    entries bigint NOT NULL,
    events  bigint NOT NULL,
    one     boolean PRIMARY KEY DEFAULT true CHECK (one)
) WITH (fillfactor = 10);

INSERT INTO issued VALUES (0, 0);

-- Documents repeat themselves; lz4 is the fast way to keep them small, where the server has it.
DO $$
DECLARE part record;
BEGIN
    IF EXISTS (SELECT FROM pg_settings WHERE name = 'default_toast_compression' AND 'lz4' = ANY (enumvals)) THEN
        FOR part IN VALUES ('inputs'), ('results'), ('editions'), ('words'), ('search') LOOP
            EXECUTE format('ALTER TABLE entry ALTER COLUMN %I SET COMPRESSION lz4', part.column1);
        END LOOP;
    END IF;
END $$;

-- The guards. The role that records may add and read, and no more; these hold for the owner of the tables, too. They stop
-- a careless hand; against a deliberate one there are the chains of hashes.

CREATE FUNCTION never_changed() RETURNS trigger LANGUAGE plpgsql SET search_path = pg_catalog AS $$
BEGIN
    RAISE EXCEPTION 'what is recorded is never changed or deleted; amend it';
END $$;

CREATE TRIGGER entry_is_never_changed BEFORE UPDATE OR DELETE OR TRUNCATE ON entry
    FOR EACH STATEMENT EXECUTE FUNCTION never_changed();
CREATE TRIGGER subject_is_never_changed BEFORE UPDATE OR DELETE OR TRUNCATE ON subject
    FOR EACH STATEMENT EXECUTE FUNCTION never_changed();
CREATE TRIGGER bench_event_is_never_changed BEFORE UPDATE OR DELETE OR TRUNCATE ON bench_event
    FOR EACH STATEMENT EXECUTE FUNCTION never_changed();

CREATE FUNCTION entry_follows_the_last() RETURNS trigger
    LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog AS $$
DECLARE
    before bigint;
BEGIN
    UPDATE midflank.issued SET entries = entries + (SELECT count(*) FROM added)
        RETURNING entries - (SELECT count(*) FROM added) INTO before;
    -- The sequence is unique: so many of them in this range leave no gap.
    IF EXISTS (
        SELECT FROM added a LEFT JOIN midflank.entry b ON b.sequence = a.sequence - 1
        WHERE a.sequence NOT BETWEEN before + 1 AND before + (SELECT count(*) FROM added)
           OR a.previous IS DISTINCT FROM coalesce(b.hash, repeat('0', 64))
    ) THEN
        RAISE EXCEPTION 'an entry follows the last one';
    END IF;
    RETURN NULL;
END $$;

CREATE TRIGGER entry_follows_the_last AFTER INSERT ON entry
    REFERENCING NEW TABLE AS added FOR EACH STATEMENT EXECUTE FUNCTION entry_follows_the_last();

CREATE FUNCTION subject_comes_with_its_entry() RETURNS trigger
    LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog AS $$
BEGIN
    IF EXISTS (
        SELECT FROM (SELECT DISTINCT sequence FROM added) a LEFT JOIN midflank.entry e ON e.sequence = a.sequence
        WHERE e.xmin IS DISTINCT FROM pg_current_xact_id()::xid
    ) THEN
        RAISE EXCEPTION 'a subject is recorded with its entry';
    END IF;
    RETURN NULL;
END $$;

CREATE TRIGGER subject_comes_with_its_entry AFTER INSERT ON subject
    REFERENCING NEW TABLE AS added FOR EACH STATEMENT EXECUTE FUNCTION subject_comes_with_its_entry();

CREATE FUNCTION bench_event_follows_the_last() RETURNS trigger
    LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog AS $$
DECLARE
    before bigint;
BEGIN
    UPDATE midflank.issued SET events = events + (SELECT count(*) FROM added)
        RETURNING events - (SELECT count(*) FROM added) INTO before;
    IF EXISTS (
        SELECT FROM added a LEFT JOIN midflank.bench_event b ON b.job = a.job AND b.number = a.number - 1
        WHERE a.id NOT BETWEEN before + 1 AND before + (SELECT count(*) FROM added)
           OR (a.number > 1 AND b.ends IS DISTINCT FROM 0)
    ) THEN
        RAISE EXCEPTION 'an event follows the last one of its job, and nothing follows the end';
    END IF;
    RETURN NULL;
END $$;

CREATE TRIGGER bench_event_follows_the_last AFTER INSERT ON bench_event
    REFERENCING NEW TABLE AS added FOR EACH STATEMENT EXECUTE FUNCTION bench_event_follows_the_last();
