// The key at the door of a server in the shop's network.
import { post, sentences } from "../api.js";
import { html, nothing } from "../lit.js";
import { go } from "../router.js";
import { changed, memory } from "../state.js";
import { signedIn } from "../sync.js";

export async function signIn(key) {
  const mine = memory("sign in", { problems: [] });
  const { status, body } = await post("session", { key });
  mine.problems = status >= 200 && status < 300 ? [] : (body.problems ?? [{ what: "No network" }]);
  if (mine.problems.length === 0) {
    signedIn();
    go("#/");
  }
  changed();
}

export function signInView() {
  const { problems } = memory("sign in", { problems: [] });
  const submit = (event) => {
    event.preventDefault();
    signIn(event.target.elements.key.value.trim());
  };
  return html`<form class="measure" @submit=${submit}>
    <h1 tabindex="-1">Sign in</h1>
    <div class="field">
      <label for="key">Key</label>
      <input
        id="key"
        name="key"
        type="text"
        autocomplete="off"
        autocapitalize="none"
        required
        aria-describedby="key-help"
      />
      <p id="key-help" class="small quiet">The program shows it where it was started.</p>
    </div>
    ${problems.length ? html`<p class="problem" role="alert">${sentences(problems).join(". ")}</p>` : nothing}
    <button class="main">Sign in</button>
  </form>`;
}
