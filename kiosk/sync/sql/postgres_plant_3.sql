-- SPDX-License-Identifier: Apache-2.0
-- Form 3 of a plant's store in PostgreSQL: pictures, and more of what units are built of.
--
-- Pictures are beside the journal whose entries name them, so that no station can give bytes in
-- another's name. The bytes' own hash is checked by the sender before and by 'lastlook plant check'
-- after: PostgreSQL has no BLAKE2b-256.

-- Up to which entry all pictures came that should.
ALTER TABLE lastlook_plant.journal ADD COLUMN pictures_to bigint NOT NULL DEFAULT 0;

CREATE TABLE lastlook_plant.picture (
  journal text NOT NULL REFERENCES lastlook_plant.journal,
  picture text NOT NULL CHECK (picture ~ '^[0-9a-f]{64}$'),
  bytes bigint NOT NULL CHECK (bytes <= 67108864),
  whole boolean NOT NULL,
  came timestamptz NOT NULL DEFAULT now(),
  PRIMARY KEY (journal, picture)
);

CREATE TABLE lastlook_plant.picture_part (
  journal text NOT NULL,
  picture text NOT NULL,
  at bigint NOT NULL,
  bytes bytea NOT NULL CHECK (length(bytes) <= 1048576),
  PRIMARY KEY (journal, picture, at),
  FOREIGN KEY (journal, picture) REFERENCES lastlook_plant.picture ON DELETE CASCADE
);
ALTER TABLE lastlook_plant.picture_part ALTER COLUMN bytes SET STORAGE EXTERNAL;  -- JPEG, PNG

CREATE FUNCTION lastlook_plant.check_journal(asked text) RETURNS void
LANGUAGE plpgsql STABLE SET search_path = pg_catalog, pg_temp AS $$
BEGIN
  IF NOT EXISTS (SELECT FROM lastlook_plant.journal j
                  WHERE j.journal = asked AND lastlook_plant.may_send_as(j.station)) THEN
    RAISE EXCEPTION 'the store has no journal % of the login %', asked, session_user
      USING ERRCODE = 'LL001';
  END IF;
END $$;

CREATE FUNCTION lastlook_plant.pictures_to(asked text) RETURNS bigint
LANGUAGE sql SECURITY DEFINER STABLE SET search_path = pg_catalog, pg_temp AS $$
  SELECT j.pictures_to FROM lastlook_plant.journal j
   WHERE j.journal = asked AND lastlook_plant.may_send_as(j.station)
$$;

CREATE FUNCTION lastlook_plant.note_pictures_to(asked text, seq bigint) RETURNS void
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
BEGIN
  PERFORM lastlook_plant.check_journal(asked);
  UPDATE lastlook_plant.journal j SET pictures_to = seq WHERE j.journal = asked;
END $$;

CREATE FUNCTION lastlook_plant.picture_held(asked text, named text, OUT bytes bigint,
                                            OUT whole boolean)
LANGUAGE sql SECURITY DEFINER STABLE SET search_path = pg_catalog, pg_temp AS $$
  SELECT p.bytes, p.whole FROM lastlook_plant.picture p JOIN lastlook_plant.journal j USING (journal)
   WHERE p.journal = asked AND p.picture = named AND lastlook_plant.may_send_as(j.station)
$$;

CREATE FUNCTION lastlook_plant.take_picture(asked text, named text, from_byte bigint, part bytea,
                                            is_last boolean) RETURNS void
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE known lastlook_plant.picture;
BEGIN
  PERFORM lastlook_plant.check_journal(asked);
  INSERT INTO lastlook_plant.picture (journal, picture, bytes, whole)
  VALUES (asked, named, 0, false) ON CONFLICT DO NOTHING;
  SELECT * INTO known FROM lastlook_plant.picture p
   WHERE p.journal = asked AND p.picture = named FOR UPDATE;
  IF known.whole OR known.bytes <> from_byte THEN
    RAISE EXCEPTION 'picture %: its bytes from % cannot follow the % that came', left(named, 12),
      from_byte, known.bytes USING ERRCODE = 'LL001';
  END IF;
  INSERT INTO lastlook_plant.picture_part VALUES (asked, named, from_byte, part);
  UPDATE lastlook_plant.picture p SET bytes = p.bytes + length(part), whole = is_last
   WHERE p.journal = asked AND p.picture = named;
END $$;

CREATE FUNCTION lastlook_plant.pictures(asked text) RETURNS SETOF text
LANGUAGE sql SECURITY DEFINER STABLE SET search_path = pg_catalog, pg_temp AS $$
  SELECT p.picture FROM lastlook_plant.picture p JOIN lastlook_plant.journal j USING (journal)
   WHERE p.journal = asked AND p.whole AND lastlook_plant.may_send_as(j.station)
   ORDER BY p.picture COLLATE "C"
$$;

CREATE FUNCTION lastlook_plant.picture_parts(asked text, named text) RETURNS SETOF bytea
LANGUAGE sql SECURITY DEFINER STABLE SET search_path = pg_catalog, pg_temp AS $$
  SELECT part.bytes FROM lastlook_plant.picture_part part
    JOIN lastlook_plant.picture p USING (journal, picture)
    JOIN lastlook_plant.journal j USING (journal)
   WHERE p.journal = asked AND p.picture = named AND p.whole
     AND lastlook_plant.may_send_as(j.station)
   ORDER BY part.at
$$;

-- A row may also say when a unit was made, and name a part inside it.
ALTER TABLE lastlook_plant.result
  ADD COLUMN made date,
  ADD COLUMN part text CHECK (part <> '' AND part = btrim(part) AND part !~ '[[:cntrl:]]'),
  ADD COLUMN lot text CHECK (lot <> '' AND lot = btrim(lot) AND lot !~ '[[:cntrl:]]'),
  DROP CONSTRAINT a_variant_or_a_test,
  ADD CONSTRAINT a_variant_or_a_part_or_a_test
    CHECK (variant IS NOT NULL OR part IS NOT NULL OR test IS NOT NULL),
  ADD CONSTRAINT a_part_has_a_lot CHECK ((part IS NOT NULL) = (lot IS NOT NULL)),
  ADD CONSTRAINT what_is_made_has_a_variant CHECK (made IS NULL OR variant IS NOT NULL);

DROP FUNCTION lastlook_plant.results_after(text, bigint, integer);
-- As in form 2.
CREATE FUNCTION lastlook_plant.results_after(after_given_in text, after_id bigint, at_most integer)
RETURNS TABLE (given_in text, id bigint, serial text, variant text, test text, result text,
               value text, measured text, made text, part text, lot text)
LANGUAGE sql SECURITY DEFINER STABLE SET search_path = pg_catalog, pg_temp AS $$
  SELECT r.given_in::text, r.id, r.serial, coalesce(r.variant, ''), coalesce(r.test, ''),
         coalesce(r.result, ''), coalesce(r.value, ''),
         coalesce(to_char(r.measured AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"'), ''),
         coalesce(to_char(r.made, 'YYYY-MM-DD'), ''), coalesce(r.part, ''), coalesce(r.lot, '')
    FROM lastlook_plant.result r
    JOIN lastlook_plant.station s
      ON s.login = session_user AND (r.station IS NULL OR r.station = s.station)
   WHERE (r.given_in, r.id) > (after_given_in::xid8, after_id)
     AND r.given_in < pg_snapshot_xmin(pg_current_snapshot())
     AND (after_id > 0 OR r.given_at > now() - interval '30 days')
   ORDER BY r.given_in, r.id
   LIMIT at_most
$$;

-- Testers that were admitted before.
DO $$
DECLARE one record;
BEGIN
  FOR one IN SELECT grantee FROM information_schema.column_privileges
              WHERE table_schema = 'lastlook_plant' AND table_name = 'result'
                AND column_name = 'serial' AND privilege_type = 'INSERT'
                AND grantee NOT IN (current_user, 'PUBLIC') LOOP
    EXECUTE format('GRANT INSERT (made, part, lot) ON lastlook_plant.result TO %I', one.grantee);
  END LOOP;
END $$;

REVOKE ALL ON ALL FUNCTIONS IN SCHEMA lastlook_plant FROM PUBLIC;

-- What a station's login may call, of every form: for those admitted before and from now on.
CREATE FUNCTION lastlook_plant.grant_station(login name) RETURNS void
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
BEGIN
  EXECUTE format('GRANT USAGE ON SCHEMA lastlook_plant TO %I', login);
  EXECUTE format(
    'GRANT EXECUTE ON FUNCTION lastlook_plant.take(), lastlook_plant.head(text), '
    'lastlook_plant.hash_at(text, bigint), '
    'lastlook_plant.results_after(text, bigint, integer), lastlook_plant.newest_master(), '
    'lastlook_plant.pictures_to(text), lastlook_plant.note_pictures_to(text, bigint), '
    'lastlook_plant.picture_held(text, text), '
    'lastlook_plant.take_picture(text, text, bigint, bytea, boolean), '
    'lastlook_plant.pictures(text), lastlook_plant.picture_parts(text, text) TO %I', login);
END $$;
REVOKE ALL ON FUNCTION lastlook_plant.grant_station(name) FROM PUBLIC;
SELECT lastlook_plant.grant_station(login) FROM lastlook_plant.station;

UPDATE lastlook_plant.form SET version = 3;
