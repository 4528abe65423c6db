-- $1 station, $2 production date: from it on, $3 how many. Its looks that were closed last, without
-- second looks; a row a finding, and one of blanks where there is none.
SELECT l.look, l.closed_us, coalesce(f.component, ''), coalesce(f.defect, '')
FROM (SELECT look, closed_us
      FROM look
      WHERE production_date >= $2 AND station = $1 AND state = 'closed' AND second_of = ''
      ORDER BY closed_us DESC, look DESC
      LIMIT $3) l
LEFT JOIN finding f ON f.look = l.look AND f.withdrawn = 0
ORDER BY l.closed_us DESC, l.look DESC, f.finding
