-- $1 station, $2 variant, $3 model, $4 before when.
SELECT coalesce(max(ended_us), 0)
FROM showing
WHERE station = $1 AND variant = $2 AND model = $3 AND proof = 'held' AND ended_us < $4
