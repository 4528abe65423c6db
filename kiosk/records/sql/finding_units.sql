-- $1, $2: production dates, both included; $3 shift, $4 station, $5 variant: empty for any. Each
-- finding once, where it was first seen, the newest look first. The last column: 1 where the unit is
-- held back for a second look that is not done.
SELECT l.look, l.station, l.serial, l.ticket, l.number, l.variant, l.disposition, l.closed_us,
       f.component, f.defect, f.severity,
       CASE WHEN EXISTS (SELECT 1 FROM second_look d
                         WHERE d.serial = l.serial AND d.look = l.look AND d.state <> 'done')
            THEN 1 ELSE 0 END
FROM look l JOIN finding f ON f.look = l.look
WHERE f.withdrawn = 0 AND f.look = f.first_look AND l.state = 'closed' AND l.second_of = ''
  AND l.production_date >= $1 AND l.production_date <= $2
  AND ($3 = '' OR l.shift = $3) AND ($4 = '' OR l.station = $4) AND ($5 = '' OR l.variant = $5)
ORDER BY l.closed_us DESC, l.look, f.component, f.finding
