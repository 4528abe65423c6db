-- $1, $2: production dates, both included; $3 shift, $4 station: empty for any.
SELECT help, station, look, called_us, came_us
FROM help_call
WHERE production_date >= $1 AND production_date <= $2
  AND ($3 = '' OR shift = $3) AND ($4 = '' OR station = $4)
ORDER BY called_us, help
