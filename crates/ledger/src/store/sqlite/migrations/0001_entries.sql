-- The books: entries that are added and never changed, and what each of them touches.

CREATE TABLE entry (
    -- AUTOINCREMENT keeps the highest number ever given out, so that a tail cut off shows.
    sequence     INTEGER PRIMARY KEY AUTOINCREMENT CHECK (sequence > 0),
    encoding     TEXT NOT NULL,     -- the rule by which it is hashed
    previous     TEXT NOT NULL,     -- hash of the entry before
    hash         TEXT NOT NULL,
    recorded_at  TEXT NOT NULL,     -- RFC 3339, UTC, nine decimals: sorts as text
    kind         TEXT NOT NULL,
    person       TEXT NOT NULL,
    program      TEXT NOT NULL,
    inputs       TEXT NOT NULL,
    results      TEXT NOT NULL,
    editions     TEXT NOT NULL,
    amends       INTEGER REFERENCES entry (sequence) CHECK (amends < sequence),
    amends_check TEXT,              -- the first four digits of the amended entry's hash
    reason       TEXT,              -- why it amends
    CHECK ((amends IS NULL) = (amends_check IS NULL) AND (amends IS NULL) = (reason IS NULL))
) STRICT;

CREATE INDEX entry_by_hash ON entry (hash);
CREATE INDEX entry_by_kind ON entry (kind);
CREATE INDEX entry_by_time ON entry (recorded_at);
CREATE INDEX entry_by_amended ON entry (amends) WHERE amends IS NOT NULL;

-- The primary key is the recall index: from a thing to its entries, in order.
CREATE TABLE subject (
    role     TEXT NOT NULL,
    identity TEXT NOT NULL,
    sequence INTEGER NOT NULL REFERENCES entry (sequence),
    PRIMARY KEY (role, identity, sequence)
) STRICT, WITHOUT ROWID;

CREATE INDEX subject_by_entry ON subject (sequence);

-- The guards. They stop a careless hand; against a deliberate one there is the chain of hashes.

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
