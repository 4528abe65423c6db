-- $1, $2: production dates, both included; $3 shift, $4 station, $5 variant: empty for any.
SELECT serial, production_date, shift, station, variant, rate, first, second, first_by, second_by
FROM second_look
WHERE state = 'done' AND production_date >= $1 AND production_date <= $2
  AND ($3 = '' OR shift = $3) AND ($4 = '' OR station = $4) AND ($5 = '' OR variant = $5)
ORDER BY drawn_us, look
