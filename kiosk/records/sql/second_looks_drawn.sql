-- $1, $2: production dates, both included; $3 shift, $4 station, $5 variant: empty for any.
SELECT first, count(*), sum(CASE WHEN state = 'done' THEN 1 ELSE 0 END)
FROM second_look
WHERE production_date >= $1 AND production_date <= $2
  AND ($3 = '' OR shift = $3) AND ($4 = '' OR station = $4) AND ($5 = '' OR variant = $5)
GROUP BY first
ORDER BY first
