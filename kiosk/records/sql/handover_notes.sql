-- $1, $2: production dates, both included; $3 shift, $4 station: empty for any.
SELECT note, noted_us
FROM handover_note
WHERE production_date >= $1 AND production_date <= $2
  AND ($3 = '' OR shift = $3) AND ($4 = '' OR station = $4)
ORDER BY noted_us, journal, seq
