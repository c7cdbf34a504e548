// This device's own motion sensor and position, while a recording is made.
import { rowOf } from "./rows.js";

const LONGEST = 3600; // s
const SILENT = 5000; // ms, after which there is no sensor
const OFF = 5; // s between a position's own time and ours, from which it is not believed

/** Why it cannot be used here; null where it can. */
export function lackingHere() {
  if (!isSecureContext)
    return "The sensor of this device is open only to pages that come over https. A file can be read all the same.";
  if (!("DeviceMotionEvent" in globalThis))
    return "This browser gives no motion sensor. A file can be read all the same.";
  return null;
}

async function allowed() {
  const ask = DeviceMotionEvent.requestPermission;
  return !ask || (await ask.call(DeviceMotionEvent).catch(() => "denied")) === "granted";
}

/** The screen stays on while the page is looked at. */
function keepAwake() {
  let lock = null;
  let over = false;
  const ask = async () => {
    if (document.hidden) return;
    lock = await navigator.wakeLock?.request("screen").catch(() => null);
    if (over) lock?.release();
  };
  document.addEventListener("visibilitychange", ask);
  ask();
  return () => {
    over = true;
    document.removeEventListener("visibilitychange", ask);
    lock?.release();
  };
}

/** Speeds by satellite into `made.fixes`, with the time at which they were true. */
function followSpeed(made) {
  if (!navigator.geolocation) return () => {};
  const id = navigator.geolocation.watchPosition(
    ({ coords, timestamp }) => {
      if (made.began === null || coords.speed === null || !(coords.speed >= 0)) return;
      const own = (timestamp - performance.timeOrigin - made.began) / 1000;
      const [now] = made.rows.at(-1);
      made.fixes.push([Math.abs(own - now) < OFF ? own : now, coords.speed]);
    },
    () => {
      made.noSpeed = true;
    },
    { enableHighAccuracy: true, maximumAge: 0 },
  );
  return () => navigator.geolocation.clearWatch(id);
}

/**
 * Begins on a tap: {refused: words} or {made, stop()}. `made`: {rows, fixes (rows.js), began: ms of the
 * first row's clock, null before it; noSpeed}. `ended(words)` is called where it ends by itself.
 */
export async function beginRecording(ended) {
  if (!(await allowed())) return { refused: "The motion sensor was not allowed." };
  const made = { rows: [], fixes: [], began: null, noSpeed: !navigator.geolocation };
  const take = (event) => {
    const row = rowOf(event, made.began ?? event.timeStamp);
    if (!row) return;
    made.began ??= event.timeStamp;
    made.rows.push(row);
    if (row[0] > LONGEST) end("An hour is the longest that is recorded at once.");
  };
  addEventListener("devicemotion", take);
  const sleep = keepAwake();
  const lost = followSpeed(made);
  const stop = () => {
    clearTimeout(silence);
    removeEventListener("devicemotion", take);
    sleep();
    lost();
  };
  const end = (words) => {
    stop();
    ended(words);
  };
  const silence = setTimeout(
    () => made.began === null && end("This device has no motion sensor that gives anything."),
    SILENT,
  );
  return { made, stop };
}
