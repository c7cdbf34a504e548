// Photos: made small in the browser, named by what they contain, kept here until they are sent.
import * as db from "./db.js";
import { sha256 } from "./sha256.js";

export const LONGEST_SIDE = 1600;

/** Width and height with the longest side at most `most`. */
export function fitted(width, height, most = LONGEST_SIDE) {
  const scale = Math.min(1, most / Math.max(width, height));
  return [Math.max(1, Math.round(width * scale)), Math.max(1, Math.round(height * scale))];
}

async function smaller(file) {
  const image = await createImageBitmap(file, { imageOrientation: "from-image" });
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = fitted(image.width, image.height);
  canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
  image.close();
  return new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.82));
}

/** Keeps a chosen picture for a case; returns its sha256. */
export async function addPhoto(caseId, file) {
  const blob = await smaller(file);
  const sha = await sha256(new Uint8Array(await blob.arrayBuffer()));
  await db.addPhoto(caseId, sha, blob);
  return sha;
}

const urls = new Map();

/** Where an <img> finds it: here, or at the server. */
export async function photoUrl(sha) {
  if (!urls.has(sha)) {
    const row = await db.photo(sha);
    urls.set(sha, row ? URL.createObjectURL(row.blob) : `/api/photos/${sha}`);
  }
  return urls.get(sha);
}

async function base64(blob) {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = "";
  for (let i = 0; i < bytes.length; i += 0x8000)
    text += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  return btoa(text);
}

/** The photos of a log, as an exported file holds them. What cannot be had now is left out. */
export async function photosFor(entries) {
  const out = {};
  for (const sha of new Set(entries.flatMap((entry) => entry.photos ?? []))) {
    const blob = (await db.photo(sha))?.blob ?? (await fetchBlob(sha));
    if (blob) out[sha] = { type: blob.type, data: await base64(blob) };
  }
  return out;
}

async function fetchBlob(sha) {
  try {
    const response = await fetch(`/api/photos/${sha}`);
    return response.ok ? await response.blob() : null;
  } catch {
    return null;
  }
}
