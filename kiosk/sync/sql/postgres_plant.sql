-- SPDX-License-Identifier: Apache-2.0
-- A plant's store in PostgreSQL. Its owner runs this once; stations get the right to call the three
-- functions at the end and to nothing else.

CREATE SCHEMA lastlook_plant;

CREATE TABLE lastlook_plant.form (version integer NOT NULL);
INSERT INTO lastlook_plant.form VALUES (1);

-- Which login may send as which station.
CREATE TABLE lastlook_plant.station (
  login name PRIMARY KEY,
  station text NOT NULL UNIQUE
);

CREATE TABLE lastlook_plant.journal (
  journal text PRIMARY KEY,
  station text NOT NULL,
  came bigint GENERATED ALWAYS AS IDENTITY,
  after_journal text NOT NULL,
  after_seq bigint NOT NULL,
  head_seq bigint NOT NULL,
  head_hash bytea NOT NULL
);

CREATE TABLE lastlook_plant.entry (
  journal text NOT NULL,  -- take() has its row; a foreign key would ask again for each entry
  seq bigint NOT NULL,
  stamp text NOT NULL,
  actor text NOT NULL,
  kind text NOT NULL,
  version bigint NOT NULL,
  body text NOT NULL,
  previous bytea NOT NULL,
  hash bytea NOT NULL,
  PRIMARY KEY (journal, seq)
);

CREATE FUNCTION lastlook_plant.never_changed() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION 'an entry of a journal is never changed or deleted';
END $$;
CREATE TRIGGER never_changed BEFORE UPDATE OR DELETE OR TRUNCATE ON lastlook_plant.entry
  FOR EACH STATEMENT EXECUTE FUNCTION lastlook_plant.never_changed();

-- A login sends as its station; the owner may send for any (what was gathered on a stick).
CREATE FUNCTION lastlook_plant.may_send_as(asked text) RETURNS boolean
LANGUAGE sql STABLE SET search_path = pg_catalog, pg_temp AS $$
  SELECT EXISTS (SELECT FROM lastlook_plant.station s
                  WHERE s.login = session_user AND s.station = asked)
      OR pg_has_role(session_user, n.nspowner, 'USAGE')
    FROM pg_namespace n WHERE n.nspname = 'lastlook_plant'
$$;

-- take() reads a table that its caller made, with the owner's rights: it must be a plain one, in
-- which reading runs nobody's code.
CREATE FUNCTION lastlook_plant.check_incoming() RETURNS void
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
DECLARE columns text;
BEGIN
  SELECT string_agg(a.attname || ' ' || format_type(a.atttypid, NULL), ',' ORDER BY a.attnum)
    INTO columns
    FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0
   WHERE c.oid = to_regclass('pg_temp.incoming') AND c.relkind = 'r' AND c.relpersistence = 't'
     AND NOT c.relrowsecurity AND NOT c.relhasrules AND NOT c.relhastriggers
     AND NOT c.relhassubclass AND NOT c.relispartition;
  IF columns IS DISTINCT FROM 'journal text,seq bigint,stamp text,actor text,kind text,'
      'version bigint,body text,previous bytea,hash bytea' THEN
    RAISE EXCEPTION 'the table of incoming entries is not as it should be' USING ERRCODE = 'LL001';
  END IF;
END $$;

CREATE FUNCTION lastlook_plant.mark(hash bytea) RETURNS text
LANGUAGE sql IMMUTABLE SET search_path = pg_catalog, pg_temp AS $$
  SELECT left(encode(hash, 'hex'), 12)
$$;

-- A journal begins under a station's name: it is the first of that name, or follows one of them
-- that nothing else follows.
CREATE FUNCTION lastlook_plant.begin_journal(who text, first_body text, first_hash bytea,
                                             new_journal text) RETURNS void
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
DECLARE
  begun jsonb := first_body::jsonb;
  rival lastlook_plant.journal;
BEGIN
  SELECT * INTO rival FROM lastlook_plant.journal j
   WHERE j.station = who AND j.after_journal = begun ->> 'after_journal'
     AND j.after_journal <> '' LIMIT 1;
  IF rival.journal IS NULL AND NOT EXISTS (SELECT FROM lastlook_plant.journal j
        WHERE j.station = who AND j.journal = begun ->> 'after_journal') THEN
    SELECT * INTO rival FROM lastlook_plant.journal j WHERE j.station = who
     ORDER BY j.came DESC LIMIT 1;
  END IF;
  IF rival.journal IS NOT NULL THEN
    RAISE EXCEPTION 'two stations are called %: the store knows one with journal % at entry % (%), '
      'and this one begins journal % (%); give one of them another name',
      who, left(rival.journal, 12), rival.head_seq, lastlook_plant.mark(rival.head_hash),
      left(new_journal, 12), lastlook_plant.mark(first_hash) USING ERRCODE = 'LL001';
  END IF;
  INSERT INTO lastlook_plant.journal (journal, station, after_journal, after_seq, head_seq,
                                      head_hash)
  VALUES (new_journal, who, begun ->> 'after_journal', (begun ->> 'after_seq')::bigint, 0,
          decode(repeat('00', 32), 'hex'));
END $$;

-- Takes what is in pg_temp.incoming: entries of one journal, in order and without a gap. What the
-- store has is compared, what follows its head is added, anything else is refused whole. The bytes'
-- own hash is checked by the sender before and by 'lastlook plant check' after: PostgreSQL has no
-- BLAKE2b-256.
CREATE FUNCTION lastlook_plant.take(OUT head_seq bigint, OUT head_hash bytea)
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE
  who text;
  sent record;
  known lastlook_plant.journal;
  first record;
  other record;
BEGIN
  PERFORM lastlook_plant.check_incoming();
  SELECT min(i.journal) AS journal, count(DISTINCT i.journal) AS journals, min(i.seq) AS low,
         max(i.seq) AS high, count(*) AS n, count(DISTINCT i.seq) AS places
    INTO sent FROM pg_temp.incoming i;
  IF sent.n = 0 OR sent.journals <> 1 OR sent.n <> sent.high - sent.low + 1
      OR sent.places <> sent.n THEN
    RAISE EXCEPTION 'a batch holds the entries of one journal without a gap'
      USING ERRCODE = 'LL001';
  END IF;
  SELECT * INTO first FROM pg_temp.incoming i WHERE i.seq = sent.low;
  SELECT j.station INTO who FROM lastlook_plant.journal j WHERE j.journal = sent.journal;
  IF who IS NULL AND sent.low > 1 THEN
    RAISE EXCEPTION 'journal %: entry % cannot follow entry 0, the last one here', sent.journal,
      sent.low USING ERRCODE = 'LL001';
  ELSIF who IS NULL AND first.kind <> 'journal_started' THEN
    RAISE EXCEPTION 'journal %: its first entry is ''%'' and not the start of a journal',
      sent.journal, first.kind USING ERRCODE = 'LL001';
  END IF;
  who := coalesce(who, first.body::jsonb ->> 'station');
  IF NOT lastlook_plant.may_send_as(who) THEN
    RAISE EXCEPTION 'the login % may not send as station %; see ''lastlook plant admit''',
      session_user, who USING ERRCODE = 'LL001';
  END IF;
  PERFORM pg_advisory_xact_lock(hashtext('lastlook ' || who));  -- one batch of a station at a time
  IF NOT EXISTS (SELECT FROM lastlook_plant.journal j WHERE j.journal = sent.journal) THEN
    PERFORM lastlook_plant.begin_journal(who, first.body, first.hash, sent.journal);
  END IF;
  SELECT * INTO known FROM lastlook_plant.journal j WHERE j.journal = sent.journal FOR UPDATE;
  IF sent.low > known.head_seq + 1 THEN
    RAISE EXCEPTION 'journal %: entry % cannot follow entry %, the last one here', sent.journal,
      sent.low, known.head_seq USING ERRCODE = 'LL001';
  END IF;
  IF sent.low <= known.head_seq THEN  -- sent again: is it what the store has?
    SELECT i.seq, e.hash AS stored, i.hash AS given INTO other
      FROM pg_temp.incoming i JOIN lastlook_plant.entry e USING (journal, seq)
     WHERE i.seq <= known.head_seq AND e.hash <> i.hash ORDER BY i.seq LIMIT 1;
  END IF;
  IF other IS NULL THEN  -- none differs; then each must name the one before it
    SELECT l.seq - 1 AS seq, l.before AS stored, l.previous AS given INTO other
      FROM (SELECT i.seq, i.previous,
                   coalesce(lag(i.hash) OVER (ORDER BY i.seq), known.head_hash) AS before
              FROM pg_temp.incoming i WHERE i.seq >= known.head_seq) l
     WHERE l.seq > known.head_seq AND l.previous <> l.before ORDER BY l.seq LIMIT 1;
  END IF;
  IF other IS NOT NULL THEN
    RAISE EXCEPTION 'journal % has forked at entry %: the store has %, the station %; two copies '
      'of one station are in use', left(sent.journal, 12), other.seq,
      lastlook_plant.mark(other.stored), lastlook_plant.mark(other.given) USING ERRCODE = 'LL001';
  END IF;
  IF sent.high <= known.head_seq THEN
    head_seq := known.head_seq;
    head_hash := known.head_hash;
    RETURN;
  END IF;
  SELECT * INTO other FROM lastlook_plant.journal j WHERE j.after_journal = sent.journal LIMIT 1;
  IF other IS NOT NULL THEN
    RAISE EXCEPTION 'journal % ended at entry %, where journal % (%) took over after a restore; two '
      'copies of station % are in use', left(sent.journal, 12), other.after_seq,
      left(other.journal, 12), lastlook_plant.mark(other.head_hash), who USING ERRCODE = 'LL001';
  END IF;
  INSERT INTO lastlook_plant.entry
  SELECT i.journal, i.seq, i.stamp, i.actor, i.kind, i.version, i.body, i.previous, i.hash
    FROM pg_temp.incoming i WHERE i.seq > known.head_seq;
  SELECT i.seq, i.hash INTO head_seq, head_hash FROM pg_temp.incoming i WHERE i.seq = sent.high;
  UPDATE lastlook_plant.journal j SET head_seq = take.head_seq, head_hash = take.head_hash
   WHERE j.journal = sent.journal;
END $$;

CREATE FUNCTION lastlook_plant.head(asked text, OUT head_seq bigint, OUT head_hash bytea)
LANGUAGE sql SECURITY DEFINER STABLE SET search_path = pg_catalog, pg_temp AS $$
  SELECT j.head_seq, j.head_hash FROM lastlook_plant.journal j
   WHERE j.journal = asked AND lastlook_plant.may_send_as(j.station)
$$;

CREATE FUNCTION lastlook_plant.hash_at(asked text, at bigint) RETURNS bytea
LANGUAGE sql SECURITY DEFINER STABLE SET search_path = pg_catalog, pg_temp AS $$
  SELECT e.hash FROM lastlook_plant.entry e
    JOIN lastlook_plant.journal j USING (journal)
   WHERE e.journal = asked AND e.seq = at AND lastlook_plant.may_send_as(j.station)
$$;

REVOKE ALL ON ALL FUNCTIONS IN SCHEMA lastlook_plant FROM PUBLIC;
