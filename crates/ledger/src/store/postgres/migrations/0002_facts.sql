-- Facts: what is known of an entry without reading its documents. Made from the entry, and made again at any time by the owner
-- of the tables; no part of what is hashed. There is a row for each entry, from the first to the last of which facts were made,
-- without gaps.

CREATE TABLE fact (
    sequence                   bigint PRIMARY KEY,
    check_digits               text COLLATE "C" NOT NULL, -- the first four digits of the hash of the entry
    recorded_on                text COLLATE "C" NOT NULL, -- the day on which it was recorded, UTC
    at                         text COLLATE "C",          -- when it was measured: RFC 3339, UTC, nine decimals
    size                       double precision,
    standard_uncertainty       double precision,
    expanded_uncertainty       double precision,
    coverage_factor            double precision,
    degrees_of_freedom         double precision,
    lower                      double precision,
    upper                      double precision,
    accept_lower               double precision,
    accept_upper               double precision,
    reject_lower               double precision,
    reject_upper               double precision,
    margin                     double precision,
    rule_parameter             double precision,
    method                     double precision,
    decimals                   double precision,
    other_size                 double precision,
    other_standard_uncertainty double precision,
    other_coverage_factor      double precision,
    other_degrees_of_freedom   double precision,
    on_place                   double precision,
    least_governs              double precision,
    own_variance               double precision,
    measured_on                text COLLATE "C",
    unit                       text COLLATE "C",
    verdict                    text COLLATE "C",
    size_verdict               text COLLATE "C",
    because                    text COLLATE "C",
    rule                       text COLLATE "C",
    part                       text COLLATE "C",
    sample                     text COLLATE "C",
    piece                      text COLLATE "C",
    drawing                    text COLLATE "C",
    lot                        text COLLATE "C",
    characteristic             text COLLATE "C",
    told                       text COLLATE "C",
    given                      text COLLATE "C",
    zero                       text COLLATE "C",
    places                     text COLLATE "C"
);

-- From a day to the entries recorded on it.
CREATE INDEX fact_by_day ON fact (recorded_on, sequence);

-- What a result was measured with. The primary key leads from a piece to its results in the order of time of measurement.
CREATE TABLE used (
    role        text COLLATE "C" NOT NULL,
    identity    text COLLATE "C" NOT NULL,
    at          text COLLATE "C" NOT NULL,
    sequence    bigint NOT NULL,
    sensitivity double precision, -- the slope of the size over the error of the piece
    part_of     text COLLATE "C", -- the role of the piece that it is a part of
    PRIMARY KEY (role, identity, at, sequence)
);

CREATE INDEX used_by_entry ON used (sequence);

CREATE FUNCTION facts_are_never_changed() RETURNS trigger LANGUAGE plpgsql SET search_path = pg_catalog AS $$
BEGIN
    RAISE EXCEPTION 'facts are never changed; make them again';
END $$;

CREATE TRIGGER fact_is_never_changed BEFORE UPDATE OR TRUNCATE ON fact
    FOR EACH STATEMENT EXECUTE FUNCTION facts_are_never_changed();
CREATE TRIGGER used_is_never_changed BEFORE UPDATE OR TRUNCATE ON used
    FOR EACH STATEMENT EXECUTE FUNCTION facts_are_never_changed();

-- Who may record or read entries may do the same with their facts.
DO $$
DECLARE one record;
BEGIN
    FOR one IN
        SELECT grantee, privilege_type FROM information_schema.role_table_grants
        WHERE table_schema = 'midflank' AND table_name = 'entry' AND privilege_type IN ('SELECT', 'INSERT')
          AND grantee NOT IN (current_user, 'PUBLIC')
    LOOP
        EXECUTE format('GRANT %s ON fact, used TO %I', one.privilege_type, one.grantee);
    END LOOP;
END $$;
