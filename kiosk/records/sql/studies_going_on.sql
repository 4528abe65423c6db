SELECT study
FROM study
WHERE ended_us = 0 AND rated < wanted
ORDER BY planned_us DESC, study DESC
