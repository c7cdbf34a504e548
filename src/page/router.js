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
  const [view = "", id = "", tab = ""] = hash
    .replace(/^#\/?/, "")
    .split("/")
    .map(decodeURIComponent);
  if (view === "case" && id) return { view, id, tab: tab in TABS ? tab : "write_up" };
  if (view === "new") return { view, earlier: id };
  if (view === "device") return { view };
  if (view === "sign_in") return { view, key: "" };
  return { view: "cases" };
}

export const toCase = (id, tab) => `#/case/${id}/${tab}`;
export const here = () => parseRoute(location.hash);
export const go = (hash) => {
  location.hash = hash;
};
