-- SPDX-License-Identifier: Apache-2.0
-- Form 2 of a plant's store in PostgreSQL: what goes down to the stations. Results of upstream tests
-- and build records, which testers and the order system insert; and the plant's master data, which
-- one station, the office, adopts for all.

ALTER TABLE lastlook_plant.station ADD COLUMN is_office boolean NOT NULL DEFAULT false;
CREATE UNIQUE INDEX one_office ON lastlook_plant.station (is_office) WHERE is_office;

-- A row is a result, what a unit is built as, or both. Not a record: what a station took is in its
-- journal, and old rows may be deleted.
CREATE TABLE lastlook_plant.result (
  id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  given_in xid8 NOT NULL DEFAULT pg_current_xact_id(),
  given_at timestamptz NOT NULL DEFAULT now(),
  given_by name NOT NULL DEFAULT session_user,
  station text,  -- NULL: for all
  serial text NOT NULL CHECK (serial <> '' AND serial = btrim(serial) AND serial !~ '[[:cntrl:]]'),
  variant text CHECK (variant <> '' AND variant = btrim(variant) AND variant !~ '[[:cntrl:]]'),
  test text CHECK (test IN ('dimensions', 'leak', 'fill_mass', 'torque_angle', 'functional')),
  result text CHECK (result IN ('passed', 'failed')),
  value text CHECK (value !~ '[[:cntrl:]]'),
  measured timestamptz,
  CONSTRAINT a_variant_or_a_test CHECK (variant IS NOT NULL OR test IS NOT NULL),
  CONSTRAINT a_test_has_result_and_time
    CHECK ((test IS NOT NULL) = (result IS NOT NULL) AND (test IS NOT NULL) = (measured IS NOT NULL))
);
CREATE INDEX result_in_order ON lastlook_plant.result (given_in, id);

-- What a station would refuse is refused here already, where whoever gives it learns of it.
CREATE FUNCTION lastlook_plant.check_result() RETURNS trigger
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
BEGIN
  IF NEW.measured > now() + interval '1 hour' THEN
    RAISE EXCEPTION '% of % was measured more than an hour later than now', NEW.test, NEW.serial
      USING ERRCODE = 'LL001';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER check_result BEFORE INSERT ON lastlook_plant.result
  FOR EACH ROW EXECUTE FUNCTION lastlook_plant.check_result();

-- The rows for the session's station after a place in their order, at most so many. Their order is
-- that of the transactions that gave them, and one that still runs holds back those begun later:
-- numbers alone become visible out of order, and a row would be passed over. Times are in UTC.
CREATE FUNCTION lastlook_plant.results_after(after_given_in text, after_id bigint, at_most integer)
RETURNS TABLE (given_in text, id bigint, serial text, variant text, test text, result text,
               value text, measured text)
LANGUAGE sql SECURITY DEFINER STABLE SET search_path = pg_catalog, pg_temp AS $$
  SELECT r.given_in::text, r.id, r.serial, coalesce(r.variant, ''), coalesce(r.test, ''),
         coalesce(r.result, ''), coalesce(r.value, ''),
         coalesce(to_char(r.measured AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"'), '')
    FROM lastlook_plant.result r
    JOIN lastlook_plant.station s
      ON s.login = session_user AND (r.station IS NULL OR r.station = s.station)
   WHERE (r.given_in, r.id) > (after_given_in::xid8, after_id)
     AND r.given_in < pg_snapshot_xmin(pg_current_snapshot())
     -- A station that begins needs what is on the line, not what ever was.
     AND (after_id > 0 OR r.given_at > now() - interval '30 days')
   ORDER BY r.given_in, r.id
   LIMIT at_most
$$;

-- The entry with which the office adopted the newest revision.
CREATE FUNCTION lastlook_plant.newest_master()
RETURNS TABLE (journal text, seq bigint, stamp text, actor text, kind text, version bigint,
               body text, previous text, hash text)
LANGUAGE sql SECURITY DEFINER STABLE SET search_path = pg_catalog, pg_temp AS $$
  SELECT e.journal, e.seq, e.stamp, e.actor, e.kind, e.version, e.body, encode(e.previous, 'hex'),
         encode(e.hash, 'hex')
    FROM lastlook_plant.station office
    JOIN lastlook_plant.journal j ON j.station = office.station
    JOIN lastlook_plant.entry e ON e.journal = j.journal AND e.kind = 'master_adopted'
   WHERE office.is_office
     AND EXISTS (SELECT FROM lastlook_plant.station s WHERE s.login = session_user)
   ORDER BY j.came DESC, e.seq DESC
   LIMIT 1
$$;
CREATE INDEX master_entries ON lastlook_plant.entry (journal, seq) WHERE kind = 'master_adopted';

REVOKE ALL ON ALL FUNCTIONS IN SCHEMA lastlook_plant FROM PUBLIC;

-- Stations that were admitted before.
DO $$
DECLARE one record;
BEGIN
  FOR one IN SELECT login FROM lastlook_plant.station LOOP
    EXECUTE format('GRANT EXECUTE ON FUNCTION lastlook_plant.results_after(text, bigint, integer), '
                   'lastlook_plant.newest_master() TO %I', one.login);
  END LOOP;
END $$;

UPDATE lastlook_plant.form SET version = 2;
