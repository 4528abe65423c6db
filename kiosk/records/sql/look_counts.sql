-- $1, $2: production dates, both included; $3 shift, $4 station, $5 variant: empty for any.
SELECT coalesce(sum(first_looks), 0), coalesce(sum(first_pass), 0), coalesce(sum(looks), 0),
       coalesce(sum(accept), 0), coalesce(sum(rework), 0), coalesce(sum(hold), 0),
       coalesce(sum(scrap), 0)
FROM count_look
WHERE production_date >= $1 AND production_date <= $2
  AND ($3 = '' OR shift = $3) AND ($4 = '' OR station = $4) AND ($5 = '' OR variant = $5)
