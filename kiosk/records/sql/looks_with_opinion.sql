-- $1, $2: production dates, both included; $3 shift, $4 station, $5 variant: empty for any.
SELECT COUNT(*)
FROM look l
WHERE l.state = 'closed' AND l.second_of = ''
  AND l.production_date >= $1 AND l.production_date <= $2
  AND ($3 = '' OR l.shift = $3) AND ($4 = '' OR l.station = $4) AND ($5 = '' OR l.variant = $5)
  AND EXISTS (SELECT 1 FROM opinion o WHERE o.look = l.look)
