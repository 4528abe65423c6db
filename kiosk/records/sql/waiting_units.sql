-- $1 station: empty for any.
SELECT w.look, l.station, w.serial, w.ticket, w.variant, w.why, w.parked, w.since_us
FROM waiting w JOIN look l ON l.look = w.look
WHERE ($1 = '' OR l.station = $1)
ORDER BY w.since_us, w.look
