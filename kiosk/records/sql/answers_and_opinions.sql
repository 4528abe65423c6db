-- $1, $2: production dates, both included; $3 shift, $4 station, $5 variant: empty for any. First
-- answers that were given before any opinion about the component was on the screen, of ordinary and
-- of second looks. A second look belongs where the first look of its unit does, as wherever second
-- looks are counted; with it the disposition of that first look and the rate of its draw.
WITH wanted AS (
  SELECT l.look, '' AS first, 1.0 AS rate
  FROM look l
  WHERE NOT EXISTS (SELECT 1 FROM second_look d
                    WHERE d.second_look = l.look AND d.serial = l.serial)
    AND l.production_date >= $1 AND l.production_date <= $2
    AND ($3 = '' OR l.shift = $3) AND ($4 = '' OR l.station = $4) AND ($5 = '' OR l.variant = $5)
  UNION ALL
  SELECT l.look, d.first, coalesce(d.rate, 1.0)
  FROM second_look d
  JOIN look l ON l.look = d.second_look AND l.serial = d.serial
  WHERE d.production_date >= $1 AND d.production_date <= $2
    AND ($3 = '' OR d.shift = $3) AND ($4 = '' OR d.station = $4) AND ($5 = '' OR d.variant = $5)
)
SELECT l.look, l.serial, o.component, a.first_answer, o.conforming, w.first, w.rate
FROM wanted w
JOIN look l ON l.look = w.look
JOIN opinion o ON o.look = l.look
JOIN step_answer a ON a.look = o.look AND a.component = o.component
WHERE l.state = 'closed' AND a.opinion_shown = '' AND a.first_answer <> 'not_answered'
ORDER BY l.closed_us, l.look, o.component
