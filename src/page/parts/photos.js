// Photos on the screen, and the button that takes or chooses one.
import { html, nothing } from "../lit.js";
import { addPhoto, photoUrl } from "../photos.js";
import { changed, memory, say, state } from "../state.js";

export function photosView(shas) {
  const urls = memory("photo urls");
  return html`<span class="photos">
    ${shas.map((sha) => {
      if (!(sha in urls)) {
        urls[sha] = "";
        photoUrl(sha).then((url) => {
          urls[sha] = url;
          changed();
        });
      }
      return urls[sha]
        ? html`<a href=${urls[sha]} target="_blank" rel="noopener"
            ><img src=${urls[sha]} alt="Photo with this entry"
          /></a>`
        : nothing;
    })}
  </span>`;
}

/** `slot.photos` collects what the next entry takes along. */
export function photoButton(id, slot) {
  const chosen = async (event) => {
    const [file] = event.target.files;
    event.target.value = "";
    if (!file) return;
    try {
      slot.photos = [...(slot.photos ?? []), await addPhoto(state.open.id, file)];
      say("The photo goes with the next reading you enter here.");
    } catch {
      say("This file is not a picture that can be read here.");
    }
    changed();
  };
  return html`<div class="photo-choice">
    <label class="button" for=${id}>Take or choose a photo</label>
    <input
      id=${id}
      class="unseen"
      type="file"
      accept="image/*"
      capture="environment"
      @change=${chosen}
    />
    ${
      slot.photos?.length
        ? html`<p class="small">Goes with the next reading you enter here.</p>
            ${photosView(slot.photos)}`
        : nothing
    }
  </div>`;
}
