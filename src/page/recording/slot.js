// What is read at one place of the page, and how far it is.
import { recording } from "../ask.js";
import { documentOf } from "../case.js";
import { standing } from "../entries.js";
import { changed, memory, say, state, units } from "../state.js";
import { askColumns, askedBy, nothingSaid, requestOf } from "./given.js";
import { makeReader } from "./reader.js";

const reader = makeReader(recording);
const read = []; // since the page was opened: {name, title, kase, repairs}
let held = null; // the slot whose recording the engine holds
let count = 0;

export const slotAt = (at) =>
  memory(`recording ${state.open.id} ${at}`, {
    way: "file",
    file: null,
    speedFile: null,
    said: { file: nothingSaid(), speeds: nothingSaid() },
    held: {}, // speed, rpm, offset as typed
    by: "",
    problems: [],
    problemsOf: null, // the file that has them
    progress: null, // {part, seconds} while it is read
    reading: null, // what was read
    answer: null, // {ok} or {problems}: what it shows
    before: "", // name of the recording that it is held against
    device: null, // device.js
  });

export const speedUnit = () => (units() === "metric" ? "km/h" : "mph");

const repairsDone = () =>
  standing(state.open.entries).filter((entry) => entry.repair && entry.result === "done").length;

/** Recordings of this case before this one; those of before the last repair come first. */
export const earlierThan = (slot) =>
  read
    .filter(({ name, kase }) => kase === slot.kase && name !== slot.name)
    .reverse()
    .sort((a, b) => Number(b.repairs < slot.repairs) - Number(a.repairs < slot.repairs));

export const isAfterRepair = (slot, before) => before.repairs < slot.repairs;

/** What the engine found in the files, and what it asks for; the form opens where it needs it. */
function learn({ said }, got) {
  const { file_columns: columns, speed_file_columns: ofSpeeds } = got.ok ?? got;
  if (columns) said.file.columns = columns;
  if (ofSpeeds) said.speeds.columns = ofSpeeds;
  if (got.ok) {
    said.file.unfolded = said.speeds.unfolded = false;
    return;
  }
  const of = got.of_speed_file ? said.speeds : said.file;
  of.asked = [...new Set([...of.asked, ...askedBy(got.problems)])];
  of.unfolded ||= askColumns(got.problems);
}

/** Reads `slot.file`; what the engine asks for is added to what was asked. */
export async function readSlot(slot) {
  const { file, speedFile } = slot;
  const kase = state.open.id;
  const name = String(++count);
  const request = { ...requestOf(slot, speedUnit()), name, case: documentOf(state.open) };
  Object.assign(slot, { problems: [], reading: null, answer: null, name, kase });
  slot.progress = { part: 0, seconds: 0 };
  slot.repairs = repairsDone();
  held = slot;
  const told = (progress) => {
    slot.progress = progress;
    changed();
  };
  changed();
  const got = await reader.read({ file, speedFile, told }, request);
  if (slot.name !== name) return;
  slot.progress = null;
  if (!got.stopped) learn(slot, got);
  slot.problems = got.problems ?? [];
  slot.problemsOf = got.of_speed_file ? speedFile : file;
  if (got.ok) {
    slot.reading = got.ok;
    read.push({ name, title: file.name, kase, repairs: slot.repairs });
    slot.before = earlierThan(slot)[0]?.name ?? "";
  }
  say(got.ok ? "The recording is read." : "The recording could not be read.");
}

export function stopReading(slot) {
  reader.stop();
  slot.name = null;
  slot.progress = null;
  changed();
}

/**
 * What the recording shows beside the case as it stands now, asked for once; the former answer stays
 * until then, and where the engine holds another recording by now.
 */
export function answerFor(slot, width) {
  const wanted = JSON.stringify([slot.name, state.open.version, units(), width, slot.before]);
  if (slot.wanted === wanted || held !== slot) return slot.answer;
  slot.wanted = wanted;
  const { before } = slot;
  const request = { case: documentOf(state.open), units: units(), width, before };
  recording("answer", { request }).then((got) => {
    if (slot.wanted !== wanted) return;
    if (got.ok || !slot.answer?.ok) slot.answer = got;
    changed();
  });
  return slot.answer;
}
