-- $1 station: empty for any; $2 when: those raised then and later.
SELECT reaction, station, plan, defect, component, times, in_units, raised_us, settled_us, why
FROM reaction
WHERE raised_us >= $2 AND ($1 = '' OR station = $1)
ORDER BY raised_us DESC, reaction
