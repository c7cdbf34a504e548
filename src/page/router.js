// Where the page is, in the part of the address behind #. Pure but for `here` and `go`.

export const TABS = {
  write_up: "Write-up",
  road: "Road test",
  bay: "Bay",
  report: "Report",
  log: "Log",
};

/** "#/case/abc123/bay" -> {view: "case", id: "abc123", tab: "bay"} */
export function parseRoute(hash) {
  // The program shows an address that ends so, as words and as a picture for a camera.
  if (hash.startsWith("#key=")) return { view: "sign_in", key: decodeURIComponent(hash.slice(5)) };
  const [path, query = ""] = hash.replace(/^#\/?/, "").split("?");
  const [view = "", ...parts] = path.split("/").map(decodeURIComponent);
  const [id = "", tab = ""] = parts;
  if (view === "case" && id) return { view, id, tab: tab in TABS ? tab : "write_up" };
  if (view === "new") return { view, earlier: id };
  if (view === "device") return { view };
  if (view === "rules") return rulesRoute(parts, query);
  if (view === "sign_in") return { view, key: "" };
  return { view: "cases" };
}

export const THINGS = ["cause", "fact", "rule", "check"];
export const AROUND = ["cause", "family", "fact", "check"];
export const GRAPHS = ["path", "evidence"];

/** The rule base: looked through, one thing of it, or a graph; with a case or without. */
function rulesRoute([kind, id, around, name, near], query) {
  const out = { view: "rules", kind: "find", case: new URLSearchParams(query).get("case") };
  if (THINGS.includes(kind) && id) return { ...out, kind, id };
  if (kind !== "graph" || !GRAPHS.includes(id)) return out;
  const part = AROUND.includes(around) && name ? { around, name, near: Number(near) || 1 } : {};
  return { ...out, kind, graph: id, ...part };
}

/** The way there: toRules({kind: "rule", id}), toRules({kind: "graph", graph, around, name, near}). */
export function toRules({ kind, id, graph, around, name, near }, kase) {
  const parts = {
    graph: [kind, graph, ...(around ? [around, name, near ?? 1] : [])],
    find: [],
  }[kind] ?? [kind, id];
  const path = parts.filter(Boolean).map(encodeURIComponent).join("/");
  return `#/rules${path && `/${path}`}${kase ? `?case=${encodeURIComponent(kase)}` : ""}`;
}

export const toCase = (id, tab) => `#/case/${id}/${tab}`;
export const here = () => parseRoute(location.hash);
export const go = (hash) => {
  location.hash = hash;
};
