-- $1, $2: production dates of the look that let the unit pass, both included; $3 its shift, $4 its
-- station, $5 its variant: empty for any. That look: the newest ordinary one that accepted the unit
-- no later than on the day of the report; with it what it answered about the component that the
-- claim was judged to be about, and what the camera thought of it. Without such a look: no dates.
SELECT c.serial, c.claim, c.station, c.reported, c.complaint, c.opened_us, coalesce(c.verdict, ''),
       c.component, c.defect, c.why, c.judged_us,
       coalesce(l.look, ''), coalesce(l.station, ''), coalesce(l.variant, ''),
       coalesce(l.production_date, ''), coalesce(l.shift, ''), coalesce(a.answer, ''),
       coalesce(o.conforming, '')
FROM claim c
LEFT JOIN look l ON l.look = (
  SELECT x.look
  FROM unit_look u
  JOIN look x ON x.look = u.look
  WHERE u.serial = c.serial AND x.serial = c.serial AND x.state = 'closed'
    AND x.disposition = 'accept' AND x.second_of = '' AND x.production_date <= c.reported
  ORDER BY x.closed_us DESC, x.look
  LIMIT 1)
LEFT JOIN step_answer a ON a.look = l.look AND a.component = c.component
LEFT JOIN opinion o ON o.look = l.look AND o.component = c.component
WHERE coalesce(l.production_date, '') >= $1 AND coalesce(l.production_date, '') <= $2
  AND ($3 = '' OR coalesce(l.shift, '') = $3) AND ($4 = '' OR coalesce(l.station, '') = $4)
  AND ($5 = '' OR coalesce(l.variant, '') = $5)
ORDER BY c.reported, c.serial, c.claim, c.station
