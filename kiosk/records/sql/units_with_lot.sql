-- $1: a lot; $2: the type of part, empty for any.
SELECT serial, part, min(fitted_us), max(replaced_us), min(station)
FROM unit_part
WHERE lot = $1 AND ($2 = '' OR part = $2)
GROUP BY serial, part
ORDER BY serial, part
