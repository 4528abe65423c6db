-- $1 station, $2 variant, $3 model, $4 after, $5 not after. The last column: 1 where an opinion of
-- that model was on the screen when a step was answered.
SELECT l.look, l.serial, l.closed_us,
       CASE WHEN EXISTS (SELECT 1 FROM step_answer s WHERE s.look = l.look AND s.opinion_shown <> '')
             AND EXISTS (SELECT 1 FROM opinion o WHERE o.look = l.look AND o.model = $3)
            THEN 1 ELSE 0 END
FROM look l
WHERE l.station = $1 AND l.variant = $2 AND l.disposition = 'accept'
  AND l.second_of = ''
  AND l.closed_us > $4 AND l.closed_us <= $5
ORDER BY l.closed_us, l.look
