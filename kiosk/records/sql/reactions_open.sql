-- $1 station: empty for any.
SELECT reaction, station, plan, defect, component, times, in_units, raised_us, settled_us, why
FROM reaction
WHERE settled_us = 0 AND ($1 = '' OR station = $1)
ORDER BY raised_us DESC, reaction
