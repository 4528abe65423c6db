-- $1, $2: production dates, both included; $3 shift, $4 station, $5 variant: empty for any. First
-- answers that were given before any opinion about the component was on the screen, of ordinary and
-- of second looks; of these the disposition of the first look and the rate at which it was drawn.
SELECT l.look, l.serial, o.component, a.first_answer, o.conforming, coalesce(d.first, ''),
       coalesce(d.rate, 1.0)
FROM look l
LEFT JOIN second_look d ON d.second_look = l.look AND d.serial = l.serial
JOIN opinion o ON o.look = l.look
JOIN step_answer a ON a.look = o.look AND a.component = o.component
WHERE l.state = 'closed' AND a.opinion_shown = '' AND a.first_answer <> 'not_answered'
  AND l.production_date >= $1 AND l.production_date <= $2
  AND ($3 = '' OR l.shift = $3) AND ($4 = '' OR l.station = $4) AND ($5 = '' OR l.variant = $5)
ORDER BY l.closed_us, l.look, o.component
