// The page: routes to views, one render a change, focus and title at a change of route.
//
// How it flows: a view (views/, parts/) shows `state` and calls case.js to enter something; case.js
// writes it through db.js into IndexedDB, reads the case again and tells; sync.js sends what waits
// (outbox.js says in which order) and brings what others enter; ask.js asks the engine about the
// case as it now stands. entries.js, ids.js, outbox.js and their like are pure and tested in node.
import { about, loadEngine } from "./ask.js";
import { askAgain, caseChanged, closeCase, openCase } from "./case.js";
import { leaveCases, refreshCases, watchCases } from "./cases.js";
import { loadCatalogue } from "./catalogue.js";
import { dropOutlived } from "./db.js";
import { loadDevice, PLACES } from "./device.js";
import { keepingFocus } from "./focus.js";
import { listen, setKeys } from "./keys.js";
import { html, nothing, render } from "./lit.js";
import { words } from "./outbox.js";
import { spoken } from "./parts/ranking.js";
import { newsOfRules, toldView } from "./parts/told.js";
import { here, TABS, toRules } from "./router.js";
import { changed, say, state, subscribe } from "./state.js";
import * as sync from "./sync.js";
import { casesView, newCaseView } from "./views/cases.js";
import { deviceView } from "./views/device.js";
import { caseView } from "./views/frame.js";
import { rulesSpoken, rulesTitle, rulesView } from "./views/rules.js";
import { signIn, signInView } from "./views/sign_in.js";

const VIEWS = {
  cases: casesView,
  new: newCaseView,
  device: deviceView,
  sign_in: signInView,
  case: caseView,
  rules: rulesView,
};

const SPOKEN = { case: spoken, rules: rulesSpoken };

function header() {
  const { device } = state;
  const refused = state.sync.items.find((item) => item.problems);
  const text = words(state.sync);
  return html`<header class="top no-print">
      <a class="home" href="#/">perrev<span class="unseen">, all cases</span></a>
      <p class="saved">
        ${refused ? html`<a href="#/case/${refused.case}/log">${text}</a>` : text}
        ${state.sync.signIn ? html`<a href="#/sign_in">Sign in</a>` : nothing}
      </p>
      <a href=${toRules({}, state.open?.id)}>Rules</a>
      <a class="who" href="#/device"
        ><span class="unseen">This device: </span> ${device.initials || "Who?"}<span class="long"
          >&nbsp;· ${PLACES[device.place]}</span
        ></a
      >
    </header>
    ${toldView()}`;
}

function page() {
  return html`${header()}
    <main id="main">${VIEWS[state.route.view]()}</main>
    <p class="notice no-print" aria-hidden="true">${state.notice}</p>`;
}

let said = "";
let settle = 0;

/** What a screen reader is told: shortly, and only once things have come to rest. */
function speak() {
  clearTimeout(settle);
  settle = setTimeout(() => {
    const text = [state.notice, words(state.sync), SPOKEN[state.route.view]?.()]
      .filter(Boolean)
      .join(". ");
    if (text !== said) document.getElementById("spoken").textContent = said = text;
    const { notice } = state;
    if (notice) setTimeout(() => state.notice === notice && ((state.notice = ""), changed()), 4000);
  }, 700);
}

/** The new question of the write-up: its field, or its heading. */
function focusQuestion(mine) {
  const one =
    document.querySelector(".work .question :is(input, textarea)") ??
    document.querySelector(".work .ask");
  if (!one) return;
  mine.focus = false;
  one.focus({ preventScroll: true });
  scrollTo({ top: 0 });
}

function draw() {
  keepingFocus(() => render(page(), document.getElementById("app")));
  const mine = state.route.view === "case" && state.ui[`write_up ${state.route.id}`];
  if (mine?.focus && !document.querySelector(".waiting")) focusQuestion(mine);
  speak();
}

function titleOf(route) {
  if (route.view === "rules") return rulesTitle(route);
  if (route.view !== "case")
    return { new: "New case", device: "This device", sign_in: "Sign in" }[route.view];
  return `${TABS[route.tab]}, ${state.open?.head.label || "case"}`;
}

async function moved() {
  const before = state.route;
  state.route = here();
  const { route } = state;
  setKeys(null);
  const wanted = route.view === "case" ? route.id : route.case;
  if (wanted) {
    leaveCases();
    const opening = openCase(wanted);
    changed();
    await opening;
  } else {
    closeCase();
    if (route.view !== "sign_in") watchCases(); // news of the rule base come along
    else if (route.key) signIn(route.key);
  }
  changed();
  document.title = [titleOf(route), "perrev"].filter(Boolean).join(" · ");
  if (before.view === "cases") delete state.ui.cases;
  if (["view", "id", "tab", "kind", "graph"].some((part) => before[part] !== route[part]))
    requestAnimationFrame(() => {
      if (!state.ui[`write_up ${route.id}`]?.focus)
        document.querySelector("main h1")?.focus({ preventScroll: true });
      scrollTo({ top: 0 });
    });
}

function watchVersion() {
  if (!navigator.serviceWorker) return;
  const had = Boolean(navigator.serviceWorker.controller);
  navigator.serviceWorker.addEventListener("message", ({ data }) => {
    if (!data.version || !had) return;
    state.newVersion = true;
    changed();
  });
  navigator.serviceWorker
    .register("/sw.js")
    .then((registration) =>
      document.addEventListener("visibilitychange", () => document.hidden || registration.update()),
    )
    .catch(() => {});
}

/** When what is drawn now stands on the screen; a page that is not looked at does not wait for it. */
const painted = () =>
  new Promise((done) => {
    requestAnimationFrame(() => setTimeout(done));
    setTimeout(done, 1000);
  });

/** The engine comes after the page is there; until then the server answers. */
async function beginReasoning() {
  state.about = await about();
  await loadCatalogue();
  await painted();
  if (!(await loadEngine(state.about))) return;
  askAgain();
  // Kept from an earlier time, or none: the server was not there to say it.
  if (state.catalogue?.digest !== state.about.rules_digest) loadCatalogue();
}

/**
 * The rule base may be another by now; what is typed and read here is not thrown away for it. Said
 * besides: the banner is out of sight for who has scrolled.
 */
function rulesHeard(told) {
  const before = newsOfRules();
  state.rules = told;
  const news = newsOfRules();
  if (news && news !== before) say(news);
  changed();
}

async function begin() {
  await loadDevice();
  document.getElementById("app").replaceChildren();
  subscribe(draw);
  listen();
  addEventListener("hashchange", moved);
  // What follows # is the route, so the way to the content is gone by hand.
  document.querySelector(".skip").addEventListener("click", (event) => {
    event.preventDefault();
    document.querySelector("main h1")?.focus();
  });
  sync.start(
    (id) => {
      caseChanged(id);
      if (state.route.view === "cases") refreshCases();
    },
    () => (state.about ? askAgain() : beginReasoning()),
    rulesHeard,
  );
  dropOutlived().catch(() => {});
  const reasoning = beginReasoning();
  await moved();
  watchVersion();
  await reasoning;
}

begin();
