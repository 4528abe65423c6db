-- Where the approval of the model that judges stands.
SELECT generation, seq, journal
FROM approved_model
ORDER BY station DESC, generation DESC, seq DESC
LIMIT 1
