SELECT look, serial, ticket, variant, why, parked, since_us
FROM waiting
ORDER BY since_us, look
