-- $1, $2: production dates, both included; $3 shift, $4 station, $5 variant: empty for any. Each
-- finding once, where it was first seen.
SELECT f.component, f.defect, f.severity, f.place_x, f.place_y, count(*)
FROM finding f JOIN look l ON l.look = f.look
WHERE f.withdrawn = 0 AND f.look = f.first_look AND l.state = 'closed' AND l.second_of = ''
  AND l.production_date >= $1 AND l.production_date <= $2
  AND ($3 = '' OR l.shift = $3) AND ($4 = '' OR l.station = $4) AND ($5 = '' OR l.variant = $5)
GROUP BY f.component, f.defect, f.severity, f.place_x, f.place_y
ORDER BY f.component, f.defect, f.severity, f.place_x NULLS FIRST, f.place_y NULLS FIRST
