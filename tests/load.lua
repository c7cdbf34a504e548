-- The load of load.sh that goes as fast as it is answered: wrk adds entries to the same cases.
local cases = tonumber(os.getenv("CASES") or 20)
local count = 0

function request()
  count = count + 1
  local entry = string.format('{"entries":[{"id":"wrkxxx-%d","at":"2026-05-06T09:12:00Z",' ..
    '"by":"road","fact":"worst_speed","value":"%d mph"}]}', count, 55 + count % 15)
  return wrk.format("POST", "/api/cases/load-case-" .. count % cases .. "/entries?ranking=1",
    { ["Content-Type"] = "application/json" }, entry)
end

function response(status)
  if status ~= 200 then print("answered with " .. status) end
end
