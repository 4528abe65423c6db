-- $1, $2: production dates, both included; $3 shift, $4 station, $5 variant: empty for any.
SELECT production_date, shift, sum(first_looks), sum(first_pass), sum(looks),
       sum(accept), sum(rework), sum(hold), sum(scrap)
FROM count_look
WHERE production_date >= $1 AND production_date <= $2
  AND ($3 = '' OR shift = $3) AND ($4 = '' OR station = $4) AND ($5 = '' OR variant = $5)
GROUP BY production_date, shift
ORDER BY production_date, shift
