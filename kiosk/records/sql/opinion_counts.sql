-- $1, $2: production dates, both included; $3 shift, $4 station, $5 variant: empty for any.
SELECT o.component,
  SUM(CASE WHEN a.first_answer = 'conforming' AND o.conforming = 'yes' THEN 1 ELSE 0 END),
  SUM(CASE WHEN a.first_answer = 'conforming' AND o.conforming = 'no' THEN 1 ELSE 0 END),
  SUM(CASE WHEN a.first_answer = 'conforming' AND o.conforming = 'unsure' THEN 1 ELSE 0 END),
  SUM(CASE WHEN a.first_answer = 'nonconforming' AND o.conforming = 'yes' THEN 1 ELSE 0 END),
  SUM(CASE WHEN a.first_answer = 'nonconforming' AND o.conforming = 'no' THEN 1 ELSE 0 END),
  SUM(CASE WHEN a.first_answer = 'nonconforming' AND o.conforming = 'unsure' THEN 1 ELSE 0 END)
FROM look l
JOIN opinion o ON o.look = l.look
JOIN step_answer a ON a.look = o.look AND a.component = o.component
WHERE l.state = 'closed' AND l.second_of = ''
  AND l.production_date >= $1 AND l.production_date <= $2
  AND ($3 = '' OR l.shift = $3) AND ($4 = '' OR l.station = $4) AND ($5 = '' OR l.variant = $5)
GROUP BY o.component
ORDER BY o.component
