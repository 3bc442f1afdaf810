-- A load on the page: wrk -t1 -c12 -d30s -s testdata/load/page.lua http://127.0.0.1:8173
-- Each connection asks five times a second at most; 12 of them come to about 50
-- requests a second. WRITES is the share of logs in per cent (default 2).
local thickness = {"1/16", "3/32", "1/8", "3/16", "1/4"}
local joint = {"tee", "lap", "butt"}
local position = {"flat", "horizontal", "vertical+down"}
local writes = tonumber(os.getenv("WRITES") or "2")

local function any(list) return list[math.random(#list)] end

function delay() return 200 end

function request()
  local r = math.random(100)
  if r <= writes then
    local body = '{"words":["4","' .. any(thickness) .. '","mild","' .. any(joint) .. '","flat"],"tap":"high","wire_speed":"' .. math.random(90, 120) .. 'ipm"}'
    return wrk.format("POST", "/api/log", {["Content-Type"] = "application/json"}, body)
  elseif r <= 45 then
    return wrk.format("GET", "/api/suggest?words=" .. any(thickness) .. "+mild+" .. any(joint) .. "+" .. any(position))
  elseif r <= 60 then
    return wrk.format("GET", "/api/find?words=" .. any(thickness) .. "+" .. any(joint))
  elseif r <= 65 then
    return wrk.format("GET", "/api/find?words=" .. any({"gate", "gat+hinje", "hinge+plate", "cart+quiet", "a12"}))
  elseif r <= 75 then
    return wrk.format("GET", "/api/welds/A" .. math.random(99))
  elseif r <= 85 then
    return wrk.format("GET", "/api/duty")
  elseif r <= 95 then
    return wrk.format("GET", "/log")
  end
  return wrk.format("GET", "/api/machines")
end

function done(summary, latency)
  io.write(string.format("%d requests, %d refused, %d late; p50 %.1f ms, p90 %.1f ms, p99 %.1f ms, most %.1f ms\n",
    summary.requests, summary.errors.status, summary.errors.timeout,
    latency:percentile(50) / 1000, latency:percentile(90) / 1000, latency:percentile(99) / 1000, latency.max / 1000))
end
