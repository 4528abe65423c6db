-- $1, $2: production dates, both included; $3 shift, $4 station, $5 variant: empty for any.
SELECT production_date, shift, quarter, station, variant, component, defect, severity, findings,
       units
FROM count_defect
WHERE production_date >= $1 AND production_date <= $2
  AND ($3 = '' OR shift = $3) AND ($4 = '' OR station = $4) AND ($5 = '' OR variant = $5)
ORDER BY production_date, shift, quarter, station, variant, component, defect, severity
