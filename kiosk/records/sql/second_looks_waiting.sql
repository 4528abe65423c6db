SELECT count(*) FROM waiting WHERE why = 'second_look'
