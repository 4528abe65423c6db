-- $1, $2: production dates, both included; $3 shift, $4 station: empty for any.
SELECT station, lamp, lux, distance, allowed_by, checked_us
FROM viewing_check
WHERE production_date >= $1 AND production_date <= $2
  AND ($3 = '' OR shift = $3) AND ($4 = '' OR station = $4)
ORDER BY checked_us, journal, seq
