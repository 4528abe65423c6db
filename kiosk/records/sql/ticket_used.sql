SELECT 1 FROM look WHERE ticket = $1 AND ticket <> ''
