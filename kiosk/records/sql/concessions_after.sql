-- $1 when: those that have not expired then.
SELECT number, authority, variant, component, defect, quantity, expires_us, used
FROM concession
WHERE expires_us > $1
ORDER BY expires_us, station, number
