-- $1 station, $2 variant, $3 model: when an opinion was first given, second looks apart; 0: never.
SELECT coalesce(min(o.given_us), 0)
FROM look l JOIN opinion o ON o.look = l.look
WHERE l.station = $1 AND l.variant = $2 AND o.model = $3 AND l.second_of = ''
