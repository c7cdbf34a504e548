// Files that come when they are first needed: a module and its style sheet, if it has one. Where they
// do not come, they are asked for again when the network is back.
import { changed, state } from "./state.js";

function sheetOf(href) {
  const link = document.createElement("link");
  Object.assign(link, { rel: "stylesheet", href });
  const come = new Promise((done, failed) => {
    link.onload = done;
    link.onerror = failed;
  }).catch((fault) => {
    link.remove();
    throw fault;
  });
  document.head.append(link);
  return come;
}

/** `load` imports the module. */
export function later(load, href) {
  let module = null;
  let sheet = null;
  let coming = false;
  let failedAt = null; // state.tries when it last did not come

  async function bring() {
    coming = true;
    const tries = state.tries;
    if (href)
      sheet ??= sheetOf(href).catch((fault) => {
        sheet = null;
        throw fault;
      });
    try {
      [module] = await Promise.all([load(), sheet]);
    } catch {
      failedAt = tries;
    }
    coming = false;
    changed();
  }

  // The network may be back before anything else has asked it.
  addEventListener("online", () => {
    failedAt = null;
    changed();
  });

  const lacking = () => !module && !coming && failedAt === state.tries;
  return {
    bring,
    lacking,
    /** The module if it is there. */
    there: () => module,
    /** The module, or null while it comes. */
    wanted() {
      if (!module && !coming && !lacking()) bring();
      return module;
    },
  };
}
