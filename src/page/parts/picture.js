// A picture of the engine on the screen: built from its text, in colours of the page's own sheet.
import { shade } from "../device.js";

const sheet = new CSSStyleSheet();
document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
let dressed = "";

/** The picture without its own colours, which become a sheet: the page's policy takes none inline. */
function undressed(text) {
  let css = "";
  const rest = text.replace(/<style>([^]*?)<\/style>/g, (_, rules) => ((css += rules), ""));
  if (css !== dressed) sheet.replaceSync((dressed = css));
  return rest;
}

const drawn = new Map(); // by where it stands: {text, picture}

/** All pictures of the engine have one style sheet. `where` tells places on the screen apart. */
export function pictureOf(text, where) {
  const before = drawn.get(where);
  if (before?.text !== text) {
    const { documentElement: picture } = new DOMParser().parseFromString(
      undressed(text),
      "image/svg+xml",
    );
    for (const gone of picture.querySelectorAll("script, foreignObject, image, a")) gone.remove();
    drawn.set(where, { text, picture: document.importNode(picture, true) });
  }
  shade(sheet);
  return drawn.get(where).picture;
}
