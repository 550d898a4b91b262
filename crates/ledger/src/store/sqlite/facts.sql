-- Facts: what is known of an entry without reading its documents. Made from the entry, and made again at any time; no part of
-- what is hashed. There is a row for each entry, from the first to the last of which facts were made, without gaps.

CREATE TABLE fact (
    sequence                   INTEGER PRIMARY KEY REFERENCES entry (sequence),
    check_digits               TEXT NOT NULL, -- the first four digits of the hash of the entry
    recorded_on                TEXT NOT NULL, -- the day on which it was recorded, UTC
    at                         TEXT,          -- when it was measured: RFC 3339, UTC, nine decimals
    size                       REAL,
    standard_uncertainty       REAL,
    expanded_uncertainty       REAL,
    coverage_factor            REAL,
    degrees_of_freedom         REAL,
    lower                      REAL,
    upper                      REAL,
    accept_lower               REAL,
    accept_upper               REAL,
    reject_lower               REAL,
    reject_upper               REAL,
    margin                     REAL,
    rule_parameter             REAL,
    method                     REAL,
    decimals                   REAL,
    other_size                 REAL,
    other_standard_uncertainty REAL,
    other_coverage_factor      REAL,
    other_degrees_of_freedom   REAL,
    on_place                   REAL,
    least_governs              REAL,
    own_variance               REAL,
    measured_on                TEXT,
    unit                       TEXT,
    verdict                    TEXT,
    size_verdict               TEXT,
    because                    TEXT,
    rule                       TEXT,
    part                       TEXT,
    sample                     TEXT,
    piece                      TEXT,
    drawing                    TEXT,
    lot                        TEXT,
    characteristic             TEXT,
    told                       TEXT,
    given                      TEXT,
    zero                       TEXT,
    places                     TEXT
) STRICT;

-- From a day to the entries recorded on it.
CREATE INDEX fact_by_day ON fact (recorded_on);

-- What a result was measured with. The primary key leads from a piece to its results in the order of time of measurement.
CREATE TABLE used (
    role        TEXT NOT NULL,
    identity    TEXT NOT NULL,
    at          TEXT NOT NULL,
    sequence    INTEGER NOT NULL REFERENCES fact (sequence),
    sensitivity REAL, -- the slope of the size over the error of the piece
    part_of     TEXT, -- the role of the piece that it is a part of
    PRIMARY KEY (role, identity, at, sequence)
) STRICT, WITHOUT ROWID;

CREATE INDEX used_by_entry ON used (sequence);

CREATE TRIGGER fact_is_never_changed BEFORE UPDATE ON fact
BEGIN SELECT RAISE(ABORT, 'facts are never changed; make them again'); END;

CREATE TRIGGER used_is_never_changed BEFORE UPDATE ON used
BEGIN SELECT RAISE(ABORT, 'facts are never changed; make them again'); END;
