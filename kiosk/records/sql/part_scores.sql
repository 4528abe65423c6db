-- $1 part.
SELECT w.ended_us, w.production_date, w.shift, w.station, w.model, o.component, o.conforming, o.score
FROM showing w JOIN showing_opinion o ON o.showing = w.showing
WHERE w.part = $1 AND w.state = 'judged'
ORDER BY w.ended_us, w.showing, o.component
