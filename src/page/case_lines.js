// The lines of the list of cases, of the server and of this device. Pure.

const holds = (line, search) =>
  `${line.label} ${line.words}`.toLowerCase().includes(search.toLowerCase());

/** Newest first; a line of this device that the server does not have yet is among them. */
export function mergeLines(server, local, search) {
  const lines = new Map(local.filter((line) => holds(line, search)).map((line) => [line.id, line]));
  for (const line of server) lines.set(line.id, { ...lines.get(line.id), ...line });
  return [...lines.values()].sort((a, b) => (b.last_at ?? "").localeCompare(a.last_at ?? ""));
}
