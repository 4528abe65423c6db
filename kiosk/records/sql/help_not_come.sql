-- $1 station.
SELECT help, station, look, called_us, came_us
FROM help_call
WHERE came_us = 0 AND station = $1
ORDER BY called_us DESC, help
